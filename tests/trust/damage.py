#!/usr/bin/python3
"""The readers in tests/ can fail: our own files, damaged, are caught by the readers of their kind.

  damage.py build/leafstack build/tests/readback          every way once
  damage.py build/leafstack build/tests/readback --long   every way at three places

One damage at a time, in a copy of an output folder that passes undamaged. The manifest's hashes,
which would catch all of them, are not asked.
"""

import os
import random
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
import shutil

import damages
import finer_damages
from outputs import Program, ROOT, expect, finish

PROGRAM, READBACK = sys.argv[1], sys.argv[2]
PLACES = 3 if "--long" in sys.argv else 1
READERS = ROOT / "tests" / "readers"
PYTHON = "/usr/bin/python3"
KINDS = {
    "STEP": (damages.STEP + finer_damages.STEP, ["gate.step", "gate-open.step"], [[READBACK]]),
    "STL": (damages.STL + finer_damages.STL, ["parts/tube/BR1.stl", "parts/tube/TR1.stl",
                                             "parts/bought/MO1.stl", "parts/bar/GC1.stl"],
            [["node", READERS / "stl-manifold.mjs"], [PYTHON, READERS / "stl-admesh.py"]]),
    "DXF": (damages.DXF + finer_damages.DXF, ["profiles/steel/12mm/BP1_steel_12mm_x1.dxf",
                          "profiles/steel/6mm/RV1_steel_6mm_x1.dxf"],
            [[PYTHON, READERS / "dxf.py"], ["node", READERS / "dxf.mjs"]]),
    "GLB": (damages.GLB + finer_damages.GLB, ["gate.glb"], [["node", READERS / "glb.mjs"]]),
}


def caught_by(reader, folder):
    run = subprocess.run([*map(str, reader), str(folder)], capture_output=True, text=True)
    return run.returncode != 0


def run_one(folder, kind, damage, place):
    """Whether any reader of the kind finds this damage; "" or what went wrong."""
    _, files, readers = KINDS[kind]
    dice = random.Random(f"{damage.__name__}-{place}")
    path = folder / dice.choice(files)
    before = path.read_bytes()
    what = f"{damage.__name__} in {path.name}, place {place}"
    try:
        after = damage(before, dice)
    except (IndexError, KeyError, ValueError, AttributeError) as error:
        return f"{what}: cannot be done: {error!r}"
    if after == before:
        return f"{what}: nothing was damaged"
    path.write_bytes(after)
    try:
        if not any(caught_by(reader, folder) for reader in readers):
            return f"{what}: not caught"
    finally:
        path.write_bytes(before)
    return ""


def run_kind(source, kind):
    """All damages of one kind, in a copy of the folder of their own."""
    folder = source.parent / kind
    shutil.copytree(source, folder)
    (folder / "manifest.json").unlink()
    for reader in KINDS[kind][2]:
        if caught_by(reader, folder):
            return 0, [f"{kind}: {reader[-1]} finds fault with an undamaged folder"]
    said = [run_one(folder, kind, damage, place)
            for damage in KINDS[kind][0] for place in range(PLACES)]
    return len(said), [one for one in said if one]


def main():
    with tempfile.TemporaryDirectory(prefix="leafstack-damage-") as work:
        program = Program(PROGRAM, work)
        source = Path(work) / "out"
        code, said = program.build(source, "--only", "step,stl,dxf,glb,report,tables")
        expect(code == 0, f"the build itself: {said}")
        with ThreadPoolExecutor(os.cpu_count()) as pool:
            results = list(pool.map(lambda kind: run_kind(source, kind), KINDS))
    for _, faults in results:
        for fault in faults:
            expect(False, fault)
    counts = ", ".join(f"{count} {kind}" for (count, _), kind in zip(results, KINDS))
    finish(f"{sum(count for count, _ in results)} damages caught: {counts}")


main()
