#!/usr/bin/env bash
# Takes the gallery's pictures of review.html anew, with the build/leafstack there is and the tests'
# browser (bash tests/run.sh installs it).
set -euo pipefail
cd "$(dirname "$0")/.."

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

take() { # GATE SHOT...
  local gate=$1 shot
  shift
  build/leafstack build "gallery/$gate/gate.json" -o "$work/$gate" --only review --quiet \
    --timestamp 2024-01-01T00:00:00Z
  mkdir -p "$work/shots"
  node tests/readers/page/review_shots.mjs "$work/$gate" "$work/shots" "$@"
  for shot in "$@"; do
    mv "$work/shots/$shot.png" "gallery/$gate/review-$shot.png"
  done
}

take two-panel-pickets half tightest phone-half
take three-panel-boards closed
take four-panel-stepped half
take two-panel-survey cut
