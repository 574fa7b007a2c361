#!/usr/bin/python3
"""How long the desk takes from an edit to the proved verdict: the five commonest edits on gates, as a histogram.

    times.py PROGRAM [GATE.json...]      wall clock, and processor time, which other work on the machine does not lengthen
"""
import json
import os
import shutil
import statistics
import sys
import tempfile
import time

from client import Desk

EDITS = {"/site/opening_mm": (5600, 10), "/gate/height_mm": (1600, 10), "/site/room_mm": (6000, 10),
         "/gate/overlap_mm": (80, 5), "/gate/infill/gap_mm": (60, 2)}
REPEATS = 3


def processor_s(pid):
    fields = open(f"/proc/{pid}/stat", encoding="ascii").read().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def histogram(words, times):
    print(f"{words}: median {statistics.median(times):.0f} ms, least {min(times):.0f}, most {max(times):.0f}")
    for low, high in ((0, 50), (50, 100), (100, 200), (200, 500), (500, 1000), (1000, 10 ** 9)):
        count = sum(low <= one < high for one in times)
        print(f"  {low:5} to {high if high < 10 ** 9 else '':5} ms  {'#' * count}")


def main():
    here = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
    gates = sys.argv[2:] or [os.path.join(here, "gallery", name, "gate.json") for name in sorted(os.listdir(os.path.join(here, "gallery")))
                             if os.path.isfile(os.path.join(here, "gallery", name, "gate.json"))]
    level, surveyed, processor = [], [], []
    for gate in gates:
        with tempfile.TemporaryDirectory() as folder:
            shutil.copy(gate, os.path.join(folder, "gate.json"))
            desk = Desk(folder)
            desk.begin()
            text = json.loads(desk.call("/open", {})[2])["text"]
            _, answer = desk.check(text)
            is_surveyed = next((one for one in answer.get("values", []) if one["pointer"] == "/site/track_survey_mm"), {}).get("value")
            for pointer, (start, step) in EDITS.items():
                before = next((one["value"] for one in answer["values"] if one["pointer"] == pointer), start)
                before = before if isinstance(before, (int, float)) else start
                for repeat in range(REPEATS):
                    used, began = processor_s(desk.process.pid), time.time()
                    _, edited = desk.check(text, [{"pointer": pointer, "typed": str(before + (repeat + 1) * step)}])
                    took = 1000 * (time.time() - began)
                    if "report" not in edited or not edited["report"]["clash"]:
                        continue  # cannot be laid out, or does not fit: nothing was proved
                    processor.append(1000 * (processor_s(desk.process.pid) - used))
                    (surveyed if is_surveyed else level).append(took)
            desk.end()
    histogram(f"level ground, {len(level)} edits, wall clock", level)
    if surveyed:
        histogram(f"surveyed ground, {len(surveyed)} edits, wall clock", surveyed)
    histogram("processor time, all cores together", processor)


if __name__ == "__main__":
    main()
