#!/usr/bin/python3
"""Inputs that would explode are refused with the limit named; memory is bounded; Ctrl-C is obeyed; a
failure of the kernel names part and figures and keeps the gate.

  limits.py build/leafstack [--long]

The memory bound is checked on the largest gates the limits allow; the long form also writes all of
their outputs.
"""

import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from outputs import Program, expect, finish, hear_signals, names

LONG = "--long" in sys.argv
MOST_MB = 1000  # address space: a fraction of any workshop computer's
done = []


def run(program, gate, *more, command="check", memory_mb=None, **options):
    """(exit code, stdout, stderr) of a gate given as text."""
    line = [str(program.path), command, "-", *more]
    if memory_mb:
        line = ["prlimit", f"--as={memory_mb * 2**20}", *line]
    result = subprocess.run(line, input=gate, capture_output=True, text=True, **options)
    return result.returncode, result.stdout, result.stderr


def gate(**groups):
    return json.dumps({"site": {"opening_mm": 6000}, **groups})


def exploding(program):
    """Each with what has to be named."""
    points = [[i * 0.001, 0.0001 * (i % 2)] for i in range(201)]
    cases = [
        ("a million pickets", gate(gate={"infill": {"gap_mm": 0.006}}), "10 to 200 mm"),
        ("slats of 1 um", gate(gate={"infill": {"kind": "slats", "section": "RHS 0.001x20x0.0001"}}),
         "15 to 200 mm"),
        ("boards of 1 um", gate(gate={"cladding": {"kind": "boards", "width_mm": 0.001}}),
         "40 to 400 mm"),
        ("a gate as long as a street", json.dumps({"site": {"opening_mm": 1e6}}), "1000 to 20000 mm"),
        ("a thousand panels", gate(gate={"panels": 1000}), "1 to 4"),
        ("a rope of 1 um", gate(ropes={"diameter_mm": 0.001}), "2 to 6 mm"),
        ("201 survey points", json.dumps({"site": {"opening_mm": 6000, "track_survey_mm": points}}),
         "200"),
        ("thousands of stock lengths",
         gate(shop={"stock_lengths_mm": [6000 + i * 0.001 for i in range(5000)]}), "20"),
        ("a number beyond all", gate().replace("6000", "1e999"), "1000 to 20000 mm"),
        ("a text of 100 kB", gate(job={"title": "x" * 100000}), "100"),
        ("a file of 2 MB", " " * 2000000 + gate(), "1000000"),
        ("nesting of 100000", "[" * 100000, "32"),
        ("a million keys", "{" + ",".join(f'"k{i}": 1' for i in range(60000)) + "}", "unknown key"),
    ]
    for what, text, named in cases:
        code, out, err = run(program, text, memory_mb=MOST_MB)
        expect(code == 3, f"{what}: exit code {code}, {err[:200]}")
        expect(named in err, f"{what}: {named!r} is not named in {err[:300]!r}")
        expect(not out, f"{what}: something on stdout")
    done.append(f"{len(cases)} exploding inputs refused")


def large_gates():
    """The most parts, the finest infill, the roughest ground that is allowed."""
    frame = {"bottom_rail": "RHS 100x50x3", "top_rail": "SHS 50x50x3", "stile": "RHS 30x50x3"}
    fine = {"kind": "pickets", "section": "RHS 15x15x1", "gap_mm": 10}
    # All 200 points that are allowed take minutes of processor time in the clash check.
    points = 200 if LONG else 10
    rough = [[-2000 + 24000 / points * i, 4 * (i % 3)] for i in range(points)]
    yield "pickets", json.dumps({
        "site": {"opening_mm": 20000}, "gate": {**frame, "panels": 4, "height_mm": 4000,
                                               "infill": fine}})
    yield "slats and battens", json.dumps({
        "site": {"opening_mm": 20000},
        "gate": {**frame, "panels": 4, "height_mm": 4000, "infill": {**fine, "kind": "slats"},
                 "cladding": {"kind": "battens", "width_mm": 40, "gap_mm": 0}}})
    yield "rough ground", json.dumps({
        "site": {"opening_mm": 20000, "track_survey_mm": rough},
        "gate": {**frame, "panels": 4 if LONG else 2, "height_mm": 2000,
                 "infill": {**fine, "gap_mm": 100}}})


def memory(program, work):
    for what, text in large_gates():
        command = ["build", "-o", str(work / what)] if LONG else ["check"]
        code, out, err = run(program, text, *command[1:], command=command[0], memory_mb=MOST_MB)
        expect(code in (0, 4, 5), f"{what}: exit code {code}, {err[-300:]}")
        done.append(f"{what} within {MOST_MB} MB: {code}")
    # Too little for any gate: told, and nothing left.
    before = names(work)
    code, _, err = run(program, gate(), "-o", str(work / "starved"), command="build", memory_mb=150)
    expect(code in (0, 1, 127), f"150 MB: exit code {code}, {err[-200:]}")
    expect(code != 1 or ("out of memory" in err and "fault" not in err), f"150 MB: {err[-200:]}")
    expect(names(work) == sorted(before + ["starved"] * (code == 0)), f"150 MB: {names(work)}")


def interrupt(program, work):
    """Ctrl-C while a large gate is written, as a shell sees it."""
    _, text = next(large_gates())
    path = work / "large.json"
    path.write_text(text)
    target = work / "large"
    shell = f"'{program.path}' build '{path}' -o '{target}' --quiet; echo $?"
    # A shell that is not interactive would let its child ignore Ctrl-C in the background.
    process = subprocess.Popen(["bash", "-c", shell], stdout=subprocess.PIPE, text=True,
                               start_new_session=True, preexec_fn=hear_signals)
    signal_at = None
    while process.poll() is None and signal_at is None:
        if list(work.glob(".large.leafstack-*")):
            child = subprocess.run(["pgrep", "-P", str(process.pid)], capture_output=True, text=True)
            signal_at = time.monotonic()
            os.kill(int(child.stdout.split()[0]), signal.SIGINT)
        time.sleep(0.01)
    said = process.communicate()[0].strip()
    took = time.monotonic() - signal_at if signal_at else -1
    # bash itself ends by SIGINT where its child did; then nothing is printed.
    expect(said in ("130", "") and signal_at, f"Ctrl-C: {said!r}")
    expect(not target.exists() and not list(work.glob(".large*")), f"Ctrl-C: {names(work)}")
    done.append(f"Ctrl-C in a large build obeyed after {took:.1f} s")


FAULTY = r"""
#include <BRepPrimAPI_MakePrism.hxx>
#include <Standard_Failure.hxx>
// In the place of the kernel's own: every prism fails.
void BRepPrimAPI_MakePrism::Build(const Message_ProgressRange&) {
  throw Standard_Failure("planted");
}
BRepPrimAPI_MakePrism::BRepPrimAPI_MakePrism(const TopoDS_Shape&, const gp_Vec&, const bool, const bool)
    : myPrism(TopoDS_Shape(), gp_Vec(0, 0, 1), Standard_False, Standard_False) {
  throw Standard_Failure("planted");
}
"""


def kernel_failure(program, work):
    """The kernel is made to fail from outside the program."""
    source = work / "faulty.cpp"
    source.write_text(FAULTY)
    library = work / "faulty.so"
    include = os.environ.get("OCCT_INCLUDE_DIR", "/usr/include/opencascade")
    subprocess.run(["g++", "-w", "-shared", "-fPIC", "-O1", f"-I{include}", str(source), "-o", str(library)],
                   check=True)
    kept = work / "kept"
    kept.mkdir()
    environment = dict(os.environ, LD_PRELOAD=str(library), TMPDIR=str(kept))
    for command, more in (("check", []), ("build", ["-o", str(work / "faulty-out")])):
        code, out, err = run(program, gate(), "--set", "/gate/panels=3", *more, command=command,
                             env=environment)
        expect(code == 1 and not out, f"{command}, kernel failure: exit code {code}, {err}")
        expect("planted" in err and "RHS" in err and "figures" in err,
               f"{command}, kernel failure: part and figures not named: {err}")
    expect(not (work / "faulty-out").exists(), "kernel failure: a folder was left")
    files = list(kept.iterdir())
    expect(len(files) == 1, f"kernel failure: kept {files}")
    expect(all(file.stat().st_mode & 0o777 == 0o600 for file in files),
           "kernel failure: what is kept can be read by others than its owner")
    if files:
        again = subprocess.run([str(program.path), "check", str(files[0]), "--json"],
                               capture_output=True, text=True)
        expect(again.returncode == 0, f"the gate kept does not check by itself: {again.stderr}")
        expect(again.returncode == 0 and json.loads(again.stdout)["layout"]["panel_count"] == 3,
               "the override was not kept")
    done.append("kernel failure named, its gate kept")


def main():
    with tempfile.TemporaryDirectory(prefix="leafstack-limits-") as folder:
        work = Path(folder)
        program = Program(sys.argv[1], work)
        exploding(program)
        memory(program, work)
        interrupt(program, work)
        kernel_failure(program, work)
    finish("limits kept: " + "; ".join(done))


main()
