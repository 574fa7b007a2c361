#!/usr/bin/env python3
"""gtest-summary.py RESULT.json...: one line per test suite over all shards, failures in full.

The last line reads "PASSED FAILED" as two numbers, for run.sh to add up.
"""

import json
import sys

# Long forms of tests that run here in short; DEVELOPERS.md says how. Nothing else may be left out.
BY_HAND = {"Shards/CompareConsistencyOfAll"}


def main():
    suites = {}
    for path in sys.argv[1:]:
        with open(path, encoding="utf-8") as stream:
            for suite in json.load(stream)["testsuites"]:
                suites.setdefault(suite["name"], []).extend(suite["testsuite"])
    passed = failed = 0
    for name, cases in sorted(suites.items()):
        if name in BY_HAND:
            print(f"       {name}: {len(cases)} cases for runs by hand")
            continue
        bad = [case for case in cases if case.get("failures")]
        not_run = [case for case in cases if case["status"] != "RUN"]
        good = len(cases) - len(bad) - len(not_run)
        seconds = sum(float(case["time"].rstrip("s")) for case in cases)
        state = "ok    " if not bad and not not_run else "FAILED"
        print(f"{state} {name}: {good} of {len(cases)} cases, {seconds:.1f} s")
        for case in bad:
            print(f"  {name}.{case['name']}")
            for failure in case["failures"]:
                print("    " + failure["failure"].replace("\n", "\n    "))
        for case in not_run:
            print(f"  {name}.{case['name']}: not run")
        passed += good
        failed += len(bad) + len(not_run)
    print(passed, failed)


if __name__ == "__main__":
    main()
