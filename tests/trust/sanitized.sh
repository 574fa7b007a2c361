#!/usr/bin/env bash
# Every test under the address, leak and undefined-behaviour sanitizers: builds the debug preset and
# runs its test program, a share on each core. About an hour on two cores.
#   sanitized.sh [GTEST_FILTER]
# What the libraries leak on purpose is in kernel.supp, with reasons. Ends with 'N passed, N failed'.
set -euo pipefail
cd "$(dirname "$0")/../.."

cmake --preset debug >/dev/null
cmake --build --preset debug | tail -n 1

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export ASAN_OPTIONS=exitcode=99 # not that of failed tests
export UBSAN_OPTIONS=print_stacktrace=1:halt_on_error=1
export LSAN_OPTIONS=suppressions=$PWD/tests/trust/kernel.supp:print_suppressions=0
export GTEST_TOTAL_SHARDS
GTEST_TOTAL_SHARDS=$(nproc)
pids=()
for ((shard = 0; shard < GTEST_TOTAL_SHARDS; ++shard)); do
  GTEST_SHARD_INDEX=$shard GTEST_OUTPUT=json:$work/cases-$shard.json \
    build/debug/tests/leafstack_tests --gtest_filter="${1:-*}" >"$work/log-$shard" 2>&1 &
  pids+=($!)
done
ended=0
for shard in "${!pids[@]}"; do
  code=0
  wait "${pids[$shard]}" || code=$?
  # 1 is failed tests, told below; anything else a sanitizer's or a crash.
  if [[ $code -gt 1 || ! -s $work/cases-$shard.json ]]; then
    tail -n 100 "$work/log-$shard"
    ended=1
  fi
done
shopt -s nullglob # what was ended has left no cases
/usr/bin/python3 tests/readers/gtest-summary.py "$work"/cases-*.json >"$work/summary"
head -n -1 "$work/summary"
read -r good bad < <(tail -n 1 "$work/summary")
echo "$good passed, $((bad + ended)) failed"
[[ $bad -eq 0 && $ended -eq 0 ]]
