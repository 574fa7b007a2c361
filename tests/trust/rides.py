#!/usr/bin/python3
"""Random driveways under gates of two and three panels, both hands: every verdict against a sampler
that shares nothing with the program (rides_main.cpp).

  rides.py build/leafstack build/tests/rides [COUNT [SEED [POSITIONS]]]

Fails where the sampler sees parts cross that no finding names, or where more than one verdict in a
hundred is left open.
"""
import collections
import json
import math
import random
import subprocess
import sys
import tempfile
from pathlib import Path


def driveway(dice, tracks):
    """A line for every track: a grade, some humps and hollows, what a slab twists, noise of laying."""
    grade = dice.uniform(-0.015, 0.015)
    bumps = [(dice.uniform(-1000, 8000), dice.uniform(500, 2500), dice.uniform(-20, 20))
             for _ in range(dice.randint(1, 3))]
    twist = dice.uniform(-0.001, 0.001) if tracks > 1 else 0
    noise = dice.choice([0, 0.5, 1])
    step = dice.choice([500, 750, 1000])
    lines = []
    for track in range(tracks):
        x = -600
        line = []
        while x < 12500:
            z = grade * x + twist * track * x + dice.uniform(-noise, noise)
            z += sum(high * math.exp(-((x - at) / wide) ** 2) for at, wide, high in bumps)
            line.append([x, round(z, 2)])
            x += step
        lines.append(line)
    return lines if tracks > 1 else lines[0]


def gate(dice):
    panels = dice.choice([2, 3])
    return {
        "site": {"opening_mm": dice.choice([4000, 5000, 6000, 7000]), "opens": dice.choice(["right", "left"]),
                 "track_survey_mm": driveway(dice, dice.choice([1, panels]))},
        "gate": {"panels": panels, "infill": {"kind": dice.choice(["pickets", "sheet", "open"])}},
        "hardware": {"guide": {"block_mount": dice.choice(["bolted", "pivoted"])}},
    }


def main():
    program, sampler = sys.argv[1:3]
    count, seed, positions = [int(text) for text in sys.argv[3:]] + [200, 2211, 120][len(sys.argv) - 3:]
    verdicts = collections.Counter()
    missed = opened = seen = refused = pairs = 0
    for i in range(count):
        tried = gate(random.Random(seed * 100000 + i))
        with tempfile.TemporaryDirectory(prefix="leafstack-rides-") as work:
            path = Path(work) / "gate.json"
            path.write_text(json.dumps(tried))
            built = subprocess.run([program, "build", str(path), "-o", f"{work}/out", "--only", "glb,report",
                                    "--threads", "1"], capture_output=True, text=True)
            if not Path(f"{work}/out/gate.glb").exists():
                refused += 1
                print(f"{i}: refused, {built.stderr.strip()[:160]}", flush=True)
                continue
            told = json.loads(subprocess.run([sampler, str(path), f"{work}/out", str(positions)],
                                             capture_output=True, text=True).stdout)
        verdicts[told["verdict"]] += 1
        opened += told["unresolved"] > 0
        seen += len(told["seen"])
        pairs += told["pairs"]
        missed += len(told["missed"])
        where = f"{tried['gate']['panels']} panels, {tried['site']['opens']}"
        print(f"{i}: {where}: {told['verdict']}, {told['unresolved']} open, {len(told['seen'])} crossings"
              f" told, missed {told['missed']}, turn off {told['turn_off_mrad']:.1e} mrad, x {told['x_off_mm']:.1e} mm", flush=True)
    done = sum(verdicts.values())
    print(f"{done} surveys, {refused} refused; {dict(verdicts)}; {opened} with something open; {pairs} pairs"
          f" at {positions + 1} positions, {seen} crossings told, {missed} missed")
    sys.exit(missed > 0 or opened * 100 > done)


main()
