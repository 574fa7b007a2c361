#!/usr/bin/env bash
# Installs what is missing, builds everything into build/ and runs every test:
# the test program, case by case, and then whole gates built by build/leafstack and read back by
# readers that did not write them. The last line reads 'N passed, N failed'.
# On Debian 12, as root or with sudo; needs no terminal.
set -uo pipefail
cd "$(dirname "$0")/.."

passed=0
failed=0
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
log=$work/log

finish() {
  [[ $((passed + failed)) -eq 0 ]] && failed=1
  echo "$passed passed, $failed failed"
  [[ $failed -eq 0 ]] && exit 0
  exit 1
}

# Steps without which nothing else makes sense.
must() { # NAME COMMAND...
  local name=$1 start=$SECONDS
  shift
  if "$@" >"$log" 2>&1 </dev/null; then
    echo "$name: $((SECONDS - start)) s"
  else
    cat "$log"
    echo "FAILED $name"
    failed=$((failed + 1))
    finish
  fi
}

# One end-to-end check. On success its own last line is the summary; wall and processor seconds follow.
TIMEFORMAT='%R %U %S'
check() { # NAME COMMAND...
  local name=$1 code wall user system
  shift
  { time "$@" >"$log" 2>&1 </dev/null; } 2>"$log.time"
  code=$?
  read -r wall user system < <(tail -n 1 "$log.time")
  if [[ $code -eq 0 ]]; then
    passed=$((passed + 1))
    echo "ok     $name: $(tail -n 1 "$log") (${wall%.*} s, $((${user%.*} + ${system%.*})) s of processor time)"
  else
    failed=$((failed + 1))
    echo "FAILED $name: exit code $code"
    sed 's/^/  | /' "$log"
  fi
}

# Jobs, groups of checks, go side by side, as many as there are cores; what they say comes in order.
names=()
told=0
start() { # NAME COMMAND...
  while [[ $(jobs -rp | wc -l) -ge $(nproc) ]]; do
    wait -n
    tell
  done
  names+=("$1")
  (
    passed=0 failed=0 log=$work/$1.log
    "${@:2}"
    echo "$passed $failed" >"$work/$1.counts"
  ) >"$work/$1.said" 2>&1 &
}
tell() { # of the jobs that have ended, up to the first that has not
  while [[ $told -lt ${#names[@]} && -s $work/${names[$told]}.counts ]]; do
    local good bad
    cat "$work/${names[$told]}.said"
    read -r good bad <"$work/${names[$told]}.counts"
    passed=$((passed + good))
    failed=$((failed + bad))
    told=$((told + 1))
  done
}
finish_jobs() {
  wait
  tell
  for name in "${names[@]:$told}"; do # ended without a count
    cat "$work/$name.said"
    echo "FAILED $name"
    failed=$((failed + 1))
  done
}

install_readers() {
  local folder=tests/readers
  local stamp=$folder/node_modules/.installed-lock
  cmp -s $folder/package-lock.json $stamp && return 0
  npm ci --prefix $folder --ignore-scripts --no-audit --no-fund &&
    cp $folder/package-lock.json $stamp
}

# A share of the test program's suites, whole ones, since the cases of a suite share what is dear.
shares=4
run_share() { # 1 to $shares
  local suites
  suites=$(build/tests/leafstack_tests --gtest_list_tests | sed -n 's/^\([^ ]*\.\)\( .*\)*$/\1*/p' |
    awk -v share="$1" -v shares=$shares 'NR % shares == share - 1' | paste -sd:)
  GTEST_OUTPUT=json:$work/cases-$1.json build/tests/leafstack_tests --gtest_filter="$suites" \
    >"$log" 2>&1 </dev/null
  local code=$?
  if [[ ! -s $work/cases-$1.json || $code -gt 1 ]]; then # crashed: nothing is known of these cases
    tail -n 60 "$log"
    echo "FAILED test program, share $1: ended with code $code"
    failed=$((failed + 1))
    return
  fi
  /usr/bin/python3 tests/readers/gtest-summary.py "$work/cases-$1.json" >"$log"
  head -n -1 "$log"
  local good bad
  read -r good bad < <(tail -n 1 "$log")
  passed=$((passed + good))
  failed=$((failed + bad))
}

same_bytes() { # GATE OUT: a second build, by one thread, same timestamp, is the same to the byte
  build/leafstack build "$1" -o "$2-again" --timestamp 2024-01-01T00:00:00Z --threads 1 &&
    diff -r "$2" "$2-again" && rm -r "$2-again" && echo "two builds, all threads and one, same bytes"
}

run_gate() { # GATE
  local name=${1%/gate.json}
  name=$(basename "${name%.json}")
  local out=$work/$name asked=--opens # of its review page
  case $name in
    three-pickets) asked= ;; # everything, once
    four-staggered-left | two-panel-survey) asked=--brief ;; # whatever depends on the gate
  esac
  check "$name, build" build/leafstack build "$1" -o "$out" --timestamp 2024-01-01T00:00:00Z
  check "$name, same bytes" same_bytes "$1" "$out"
  check "$name, STEP read back" build/tests/readback "$out"
  check "$name, STL by manifold" node tests/readers/stl-manifold.mjs "$out"
  check "$name, STL by admesh" /usr/bin/python3 tests/readers/stl-admesh.py "$out"
  check "$name, STEP by a newer kernel" node tests/readers/step-occt.mjs "$out"
  check "$name, DXF by ezdxf" /usr/bin/python3 tests/readers/dxf.py "$out"
  check "$name, DXF by dxf-parser" node tests/readers/dxf.mjs "$out"
  check "$name, templates by ezdxf, qpdf" /usr/bin/python3 tests/readers/wrap.py "$out"
  check "$name, drawings by ezdxf, qpdf, poppler" /usr/bin/python3 tests/readers/drawing.py "$out"
  check "$name, drawings by dxf-parser" node tests/readers/drawing.mjs "$out"
  [[ -z $asked ]] && # everything, once
    check "$name, drawings as another program draws them" /usr/bin/python3 tests/readers/drawing_elsewhere.py "$out"
  check "$name, drawings' figures" /usr/bin/python3 tests/readers/drawing_figures.py "$out"
  check "$name, IFC by a reader of the format" node tests/readers/ifc.mjs "$out"
  check "$name, GLB by gltf-validator" node tests/readers/glb.mjs "$out"
  check "$name, review page in a browser" node tests/readers/page/review.mjs "$out" $asked
  check "$name, manifest" /usr/bin/python3 tests/readers/manifest.py "$out"
}

bash tests/packages.sh tests || { failed=1; finish; }
must "configure" cmake --preset release
must "build" cmake --build --preset release
check "order of the rooms" /usr/bin/python3 tests/layers.py
check "planted faults of that order" /usr/bin/python3 tests/layers.py --planted
check "install readers" install_readers
faulty() { # DIR: a gate that clashes is written all the same, clashes.step and BCF with it
  build/leafstack build gallery/two-panel-pickets/gate.json -o "$1" --only step,report,tables,bcf,review \
    --set /site/setback_mm=0 --set /gate/cladding/kind=boards --set /checks/build_tolerance_mm=3 \
    --set "/job/title=$(printf 'W%.0s' {1..100})" --timestamp 2024-01-01T00:00:00Z
  [[ $? -eq 5 && -s $1/clashes.step ]] &&
    /usr/bin/python3 tests/readers/bcf.py "$1/clashes.bcf" &&
    /usr/bin/python3 tests/readers/manifest.py "$1"
}
run_faulty() {
  check "a gate that clashes" faulty "$work/faulty"
  check "its review page in a browser" node tests/readers/page/review.mjs "$work/faulty" --faulty --opens
}
overlaps() { # volumes of planted overlaps, by another library's booleans
  build/tests/overlap_cases "$work/overlaps" && node tests/readers/overlaps-manifold.mjs "$work/overlaps"
}
# What a workshop relies on; each has a longer form to run by hand (DEVELOPERS.md, "Trust").
trust() { # SCRIPT ARGUMENTS...
  /usr/bin/python3 "tests/trust/$1" build/leafstack "${@:2}"
}
# The longest first, so that no core is idle at the end.
for share in $(seq $shares); do
  start "share-$share" run_share "$share"
done
start fuzzing check "fuzzing, a short run" bash tests/fuzz/fuzz.sh smoke
start limits check "limits, memory, Ctrl-C, kernel failure" trust limits.py
start repeat check "same bytes on any core, in any locale" trust repeat.py
start writing check "outputs whole or not there" trust writing.py
start properties check "properties of gates from the whole input space" build/tests/trust_properties 25 1 --write
start packages check "installation and packages" bash tests/trust/package.sh
start damage check "damaged files are caught" trust damage.py build/tests/readback
shopt -s nullglob
gates=(gallery/*/gate.json tests/gates/*.json)
for gate in "${gates[@]}"; do
  start "gate-$(basename "${gate%/gate.json}")" run_gate "$gate"
done
start schema check "schema" /usr/bin/python3 tests/params/params_schema_check.py build/leafstack
start readmes check "outputs that READMEs show" /usr/bin/python3 tests/readers/readme.py \
  build/leafstack README.md params/README.md generator/README.md exporters/README.md gallery/*/README.md
start readmes-planted check "a README with another figure is found" \
  /usr/bin/python3 tests/readers/readme.py build/leafstack --planted
start faulty run_faulty
start overlaps check "overlaps by manifold" overlaps
start desk check "desk: rules, figures, saving" /usr/bin/python3 tests/desk/rules.py build/leafstack
start desk-page check "desk's page in a browser" node tests/readers/page/desk.mjs build/leafstack --brief
start desk-picture check "desk's picture and figures" node tests/readers/page/desk_picture.mjs build/leafstack \
  gallery/three-panel-level-top/gate.json
remarks() {
  mkdir "$work/remarks" && node tests/readers/page/remarks.mjs build/leafstack "$work/remarks"
}
start remarks check "remarks there and back" remarks
start shell check "man page and completion" trust shell.py
finish_jobs
if [[ ${#gates[@]} -eq 0 ]]; then
  echo "FAILED no gate in gallery/"
  failed=$((failed + 1))
fi
finish
