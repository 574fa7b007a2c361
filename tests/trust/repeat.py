#!/usr/bin/python3
"""Same input, same bytes: two runs, two folders, one thread or many, one core or all, any locale, any build type.

  repeat.py build/leafstack [--long] [OTHER/leafstack...]

OTHER are the same program built otherwise (build/debug/leafstack); all must write the same bytes.
--long: ten rounds of many threads instead of two.
Locales are made for the test where localedef is there; else those of the system are tried.
"""

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from outputs import ROOT, Program, digest, expect, finish

LOCALES = ["de_DE", "fr_FR", "hi_IN", "tr_TR", "ar_EG"]  # commas, blanks, other digits, dotless i
# A program that obeys the user's locale, as an application that links the libraries might.
OBEY = r"""
#include <locale>
#include <clocale>
#include <cstdlib>
namespace { struct Obey { Obey() {
  if (std::setlocale(LC_ALL, "") == nullptr) { std::_Exit(99); }
  std::locale::global(std::locale("")); } } obey; }
"""
GATE = ROOT / "gallery" / "two-panel-steep" / "gate.json"
PRICES = ROOT / "tests" / "quote" / "invented_prices.json"
done = []


def made_locales(folder):
    """Environments with one locale each."""
    for name in LOCALES:
        made = subprocess.run(["localedef", "-i", name, "-f", "UTF-8", str(folder / f"{name}.UTF-8")],
                              capture_output=True)
        if (folder / f"{name}.UTF-8").is_dir():
            yield dict(os.environ, LOCPATH=str(folder), LC_ALL=f"{name}.UTF-8")


def threads(program, work, rounds):
    """The same folder again and again under many threads, and under one; one gate of it clashes."""
    clashing = ["--set", "/site/setback_mm=0", "--set", "/gate/cladding/kind=boards", "--only",
                "step,stl,glb,report,drawings,review,bcf"]
    for what, more, code in (("clear", [], 0), ("clashing", clashing, 5)):
        expected = None
        for i in range(rounds + 1):
            out = work / f"threads-{what}-{i}"
            count = "1" if i == 0 else "16"
            found, said = program.build(out, "--quiet", "--threads", count, *more)
            expect(found == code, f"{what}, {count} threads: {found} {said}")
            made = digest(out)
            expected = expected or made
            differing = [path for path in expected if made.get(path) != expected[path]]
            expect(made == expected, f"{what}, {count} threads, round {i}: {differing[:5]} differ")
    done.append(f"1 thread and {rounds} times 16")


def main():
    # Of a build under the sanitizers: what the libraries leak is no fault of a run.
    os.environ.setdefault("LSAN_OPTIONS", f"suppressions={ROOT}/tests/trust/kernel.supp:print_suppressions=0")
    with tempfile.TemporaryDirectory(prefix="leafstack-repeat-") as folder:
        work = Path(folder)
        program = Program(sys.argv[1], work)
        program.gate.write_bytes(GATE.read_bytes())
        cores = sorted(os.sched_getaffinity(0))

        told = subprocess.run([program.path, "build", "--help"], capture_output=True, text=True).stdout
        every = re.sub(r"\s", "", re.search(r"--only\s+TEXT:\{([^}]*)\}", told)[1])  # over two lines

        def build(name, what, **options):
            code, said = program.build(work / name, "--only", every, "--prices", str(PRICES), **options)
            expect(code == 0, f"{what}: {code} {said}")
            return digest(work / name)

        others = [name for name in sys.argv[2:] if name != "--long"]
        first = build("first", "first run")
        expect(len(first) > 150 and "pictures/closed.svg" in first, f"only {len(first)} files")
        elsewhere = work / "ein anderer Ordner"
        elsewhere.mkdir()
        expect(build("ein anderer Ordner/out", "second run", cwd=elsewhere) == first,
               "a second run into another folder gives other bytes")
        one_core = lambda: os.sched_setaffinity(0, cores[:1])
        expect(build("one", "one core", preexec_fn=one_core) == first, "other bytes on one core")
        done.append(f"2 folders, 1 and {len(cores)} cores")

        threads(program, work, rounds=10 if "--long" in sys.argv else 2)

        library = work / "obey.so"
        (work / "obey.cpp").write_text(OBEY)
        subprocess.run(["g++", "-std=c++20", "-shared", "-fPIC", str(work / "obey.cpp"), "-o",
                        str(library)], check=True)
        count = 0
        for environment in made_locales(work):
            name = environment["LC_ALL"]
            for preload in ([library],) if count else ([], [library]):
                environment["LD_PRELOAD"] = " ".join(map(str, preload))
                found = build(f"{name}-{len(preload)}", name, env=environment)
                differing = [path for path in first if found.get(path) != first[path]]
                expect(not differing, f"{name}{', obeyed' if preload else ''}: {differing[:5]} differ")
            count += 1
        expect(count > 0, "no locale could be made: install the package locales")
        done.append(f"{count} locales, the first ignored, all obeyed")

        for index, other in enumerate(others):
            program.path.unlink()
            program = Program(other, work)
            program.gate.write_bytes(GATE.read_bytes())
            expect(build(f"other-{index}", other) == first, f"{other} writes other bytes")
        done.append(f"{len(others)} other builds")
    finish("same bytes: " + ", ".join(done))


main()
