#!/usr/bin/env python3
"""manifest.py DIR: DIR/manifest.json lists every file of the folder, with its size and SHA-256.

Prints one line per problem and a summary; exit code 1 on any problem.
"""

import hashlib
import json
import pathlib
import sys


def main():
    if len(sys.argv) != 2:
        print("usage: manifest.py DIR", file=sys.stderr)
        return 2
    folder = pathlib.Path(sys.argv[1])
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    problems = []
    listed = set()
    for entry in manifest["files"]:
        path = folder / entry["path"]
        listed.add(entry["path"])
        if not path.is_file():
            problems.append(f"{entry['path']}: is missing")
            continue
        data = path.read_bytes()
        if len(data) != entry["size_bytes"]:
            problems.append(f"{entry['path']}: {len(data)} bytes, manifest {entry['size_bytes']}")
        if hashlib.sha256(data).hexdigest() != entry["sha256"]:
            problems.append(f"{entry['path']}: SHA-256 differs")
    there = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    for path in sorted(there - listed - {"manifest.json"}):
        problems.append(f"{path}: is not in the manifest")
    if len(listed) != len(manifest["files"]):
        problems.append("a file is listed twice")
    if not listed:
        problems.append("no file is listed")
    for problem in problems:
        print(problem)
    print(f"manifest: {len(listed)} files, {len(problems)} problem(s)")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
