#!/usr/bin/env bash
# Installs what is missing, builds leafstack and makes the first gallery gate into out/.
# On Debian 12, as root or with sudo. A second run starts within seconds.
set -euo pipefail
cd "$(dirname "$0")/.."

gate=gallery/two-panel-pickets/gate.json

bash tests/packages.sh build
echo "building build/leafstack (some minutes the first time)"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
{ cmake --preset release && cmake --build --preset release --target leafstack; } >"$log" 2>&1 ||
  { cat "$log" >&2; exit 1; }
build/leafstack build "$gate" -o out --force

show() { # FILE WHAT-IT-IS: only what was written
  [[ -e out/$1 ]] && printf '  %-24s %s\n' "out/$1" "$2"
  return 0
}
echo
echo "Made from $gate. What to open:"
show summary.html "the gate at a glance, in a browser"
show gate.step "the closed gate as solids, in any CAD program (AP214, mm)"
show gate-open.step "the same gate, open"
show gate.glb "the gate for a 3D viewer"
show parts/ "each part by family and mark: .step to design with, .stl to print or mesh"
show profiles/ "flat profiles for the cutter, by material and thickness"
show templates/wrap.pdf "1:1 paper to lay round tubes and mark their cut-outs by hand"
show drawings.pdf "all drawings"
show review.html "the gate in motion, in a browser"
show tables/cut-list.csv "what the saw cuts: lengths, end angles, cut-outs"
show tables/stock-plan.svg "which piece comes out of which bar"
show tables/ropes.csv "every rope, with its order length"
show tables/bill.csv "what is bought or found on site"
show tables/order.csv "what to buy, by supplier and item"
show report.json "layout, clash check, parts, warnings and cautions, for programs"
echo "Your own gate: build/leafstack new > gate.json, edit it, then"
echo "  build/leafstack check gate.json && build/leafstack build gate.json -o my-gate"
