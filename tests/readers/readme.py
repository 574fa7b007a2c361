#!/usr/bin/python3
"""Runs every command that a README shows with its output, and compares the two.

  readme.py build/leafstack README.md...    from the top folder
  readme.py build/leafstack --planted       a README with a changed figure is found

In fenced blocks, lines that begin with '$ ' are commands, in one folder, one after the other; what
stands below one is what it prints (what it complains of first). A line '...' stands for any lines;
what begins with it is an excerpt and may end anywhere. Cautions, which end every text, may be left
out. Commands whose output is not shown are run all the same, since later ones need their files; of
`build` only the exit code is compared, since it tells times.
"""

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LEFT_OUT = re.compile(r"\b(parallel|apt-get|cmake|bash)\b")
TAKES_LONG = {"build"}  # tells its stages and their times


def commands(text):
    """(command, lines shown below it) of every fenced block."""
    inside = False
    found = []
    lines = iter(text.split("\n"))
    for line in lines:
        if line.startswith("```"):
            inside = not inside
        elif inside and line.startswith("$ "):
            command = line[2:]
            while command.endswith("\\") or command.count("'") % 2:
                command += "\n" + next(lines)
            found.append((command, []))
        elif inside and found and not line.startswith("```"):
            found[-1][1].append(line)
        if not inside and found and found[-1][0] is not None:
            found.append((None, []))  # what follows a fence belongs to no command
    return [(command, shown) for command, shown in found if command]


def matches(shown, said):
    """Whether `shown`, with its '...', is all of `said`."""
    said = said.strip("\n").split("\n")
    shown = "\n".join(shown).strip("\n").split("\n")
    pieces = [[]]
    for line in shown:
        if line.strip() == "...":
            pieces.append([])
        else:
            pieces[-1].append(line)
    is_excerpt = not pieces[0]
    at = 0
    for index, piece in enumerate(pieces):
        starts = [at] if index == 0 else range(at, len(said) - len(piece) + 1)
        if index > 0 and index == len(pieces) - 1 and piece and not is_excerpt:
            starts = [n for n in starts if may_end(said, n + len(piece))]
        begin = next((n for n in starts if said[n:n + len(piece)] == piece), None)
        if begin is None:
            return False
        at = begin + len(piece)
    return may_end(said, at) or not pieces[-1] or is_excerpt


def may_end(said, at):
    return at == len(said) or said[at:at + 2] == ["", "Cautions"]


def faults(text, program, name):
    wrong = []
    count = 0
    with tempfile.TemporaryDirectory(prefix="leafstack-readme-") as folder:
        (Path(folder) / "build").mkdir()
        os.symlink(program, Path(folder) / "build" / "leafstack")
        last = None
        for command, shown in commands(text):
            if command == "echo $?":
                if last is not None and shown and shown[0].strip() != str(last):
                    wrong.append(f"{name}: exit code {last} where {shown[0]} is shown")
                count += 1
                continue
            if "build/leafstack" not in command or LEFT_OUT.search(command):
                continue
            run = subprocess.run(["bash", "-c", command], cwd=folder, capture_output=True, text=True)
            last = run.returncode
            words = re.search(r"build/leafstack (\S+)", command)
            if not any(shown) or (words and words[1] in TAKES_LONG):
                continue
            count += 1
            if not any(matches(shown, said) for said in
                       (run.stdout, run.stderr, run.stderr + run.stdout, run.stdout + run.stderr)):
                wrong.append(f"{name}: '{command}' prints\n{run.stderr}{run.stdout}")
    return wrong, count


def main():
    program = Path(sys.argv[1]).resolve()
    if sys.argv[2:] == ["--planted"]:
        block = "```\n$ build/leafstack new --help | head -n 1\nWrite something else\n```\n"
        wrong, count = faults(block, program, "planted")
        right = subprocess.run([program, "new", "--help"], capture_output=True, text=True).stdout
        good, _ = faults(block.replace("Write something else", right.split("\n")[0]), program, "same")
        print(f"{len(wrong)} of 1 planted change found, {len(good)} false alarms")
        return 0 if wrong and count == 1 and not good else 1
    wrong, total = [], 0
    for name in sys.argv[2:]:
        found, count = faults((ROOT / name).read_text(encoding="utf-8"), program, name)
        wrong += found
        total += count
    for fault in wrong:
        print(fault[:3000])
    print(f"{total} outputs of {len(sys.argv) - 2} files, {len(wrong)} other than shown")
    return 1 if wrong or not total else 0


sys.exit(main())
