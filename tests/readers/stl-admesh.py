#!/usr/bin/env python3
"""stl-admesh.py DIR: every STL file under DIR/parts through admesh, which did not write it.

admesh repairs what it finds and always exits with 0, so its text is read: what was wrong with the
file as it came ("Original"), and what it changed. All of it must be nothing. Prints one line per
problem and a summary; exit code 1 on any problem.
"""

import pathlib
import re
import subprocess
import sys

# admesh takes milliseconds; on some damaged files it never ends.
TIMEOUT_S = 60

ORIGINAL = [
    "Facets with 1 disconnected edge",
    "Facets with 2 disconnected edges",
    "Facets with 3 disconnected edges",
    "Total disconnected facets",
]
CHANGED = [
    "Degenerate facets",
    "Edges fixed",
    "Facets removed",
    "Facets added",
    "Facets reversed",
    "Backwards edges",
    "Normals fixed",
]


def figures(text, label):
    """The numbers behind a label of admesh's report; None where the label is missing."""
    line = re.search(r"^" + re.escape(label) + r"\s*:\s*(.*)$", text, re.MULTILINE)
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", line[1])] if line else None


def check(path):
    try:
        run = subprocess.run(["admesh", str(path)], stdin=subprocess.DEVNULL, timeout=TIMEOUT_S,
                             stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False)
    except subprocess.TimeoutExpired:
        return [f"admesh did not end within {TIMEOUT_S} s"]
    # The STL header is echoed as it is.
    text = run.stdout.decode("latin-1")
    problems = []
    if run.returncode != 0:
        problems.append(f"admesh failed with {run.returncode}: {text.strip()[-200:]}")
    for label in ORIGINAL + CHANGED:
        found = figures(text, label)
        if not found:
            problems.append(f"admesh reports no '{label}'")
        elif found[0] != 0:
            problems.append(f"{label}: {found[0]:g}")
    parts = figures(text, "Number of parts")
    if not parts or parts[0] != 1:
        problems.append(f"number of parts is not 1 but {parts}")
    return problems


def main():
    if len(sys.argv) != 2:
        print("usage: stl-admesh.py DIR", file=sys.stderr)
        return 2
    files = sorted((pathlib.Path(sys.argv[1]) / "parts").rglob("*.stl"))
    count = 0
    for path in files:
        for problem in check(path):
            count += 1
            print(f"parts/{path.name}: {problem}")
    if not files:
        count += 1
        print("parts: no STL file")
    print(f"admesh: {len(files)} files, {count} problem(s)")
    return 1 if count else 0


if __name__ == "__main__":
    sys.exit(main())
