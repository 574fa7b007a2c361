#!/usr/bin/env bash
# Fuzzes the gate reader, --set, the layout and the desk's reader of requests: builds the targets by clang, then runs each.
#   fuzz.sh smoke          a fixed number of runs with a fixed seed, about 30 s in all
#   fuzz.sh SECONDS [TARGET...]   that long each, at random; what it finds is kept in build/fuzz
# A crash, a leak, undefined behaviour or a broken property fails, and its input is kept.
set -euo pipefail
cd "$(dirname "$0")/../.."
mode=${1:?usage: fuzz.sh smoke | fuzz.sh SECONDS [TARGET...]}
shift
targets=("$@")
[[ ${#targets[@]} -eq 0 ]] && targets=(gate set layout request)

cmake --preset fuzz >/dev/null
cmake --build --preset fuzz | tail -n 1

# Every key and choice of the parameter table, as words to put in.
words=build/fuzz/words.dict
grep -oh '"[A-Za-z0-9_/]*"' params/table/table.cpp params/table/hardware_rows.cpp | sort -u |
  sed 's/^"\(.*\)"$/\1/' | awk 'length > 1 { n = split($0, keys, "/"); print "\"" keys[n] "\"";
    print "\"" $0 "\"" }' | sort -u | grep -v '^""$' >"$words"

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
declare -A runs=([gate]=700 [set]=400 [layout]=340 [request]=30000)  # all of the corpus, and some more
export UBSAN_OPTIONS=print_stacktrace=1
for target in "${targets[@]}"; do
  kept=build/fuzz/kept-$target
  mkdir -p "$kept"
  seeds=(tests/fuzz/corpus/"$target")
  [[ $target == gate ]] && seeds+=(tests/broken tests/gates)
  common=(-dict="$words" -artifact_prefix=build/fuzz/"$target"- -print_final_stats=1 -max_len=4096)
  # Gates of many values at once, not only of one.
  [[ $target == layout ]] && common+=(-len_control=0 -max_len=400)
  log=build/fuzz/$target.log
  if [[ $mode == smoke ]]; then
    # The first folder takes what is new: none of it is to stay.
    mkdir "$scratch/$target"
    command=(-runs="${runs[$target]}" -seed=1 "${common[@]}" "$scratch/$target" "${seeds[@]}")
  else
    command=(-max_total_time="$mode" "${common[@]}" "$kept" "${seeds[@]}")
  fi
  if ! build/fuzz/tests/fuzz/fuzz_"$target" "${command[@]}" >"$log" 2>&1; then
    tail -n 40 "$log"
    echo "FAILED fuzz_$target; its input is $(grep -o 'build/fuzz/[a-z-]*-[0-9a-f]\{40\}' "$log" | tail -n 1)"
    exit 1
  fi
  echo "fuzz_$target: $(grep -o 'number_of_executed_units: [0-9]*' "$log" | grep -o '[0-9]*$') runs," \
    "coverage $(grep -o 'cov: [0-9]*' "$log" | tail -n 1 | grep -o '[0-9]*')"
done
echo "no crash, no broken property"
