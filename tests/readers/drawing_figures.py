"""Whether the drawings say what report.json and the tables say: figures found in the PDFs' text.

python3 tests/readers/drawing_figures.py DIR
"""

import csv
import json
import pathlib
import re
import subprocess
import sys

folder = pathlib.Path(sys.argv[1])
report = json.loads((folder / "report.json").read_text())
problems = []


def words_of(pattern):
    """Every blank-separated word of the sheets, as poppler finds them, and the text in one line."""
    text = ""
    for path in sorted((folder / "drawings").glob(pattern)):
        text += subprocess.run(["pdftotext", "-layout", str(path), "-"], check=True,
                               capture_output=True, text=True).stdout
    if not text:
        problems.append(f"no sheet {pattern}")
    return set(text.split()), re.sub(r"\s+", " ", text)


def shown(value):
    """As drawings print lengths: two decimals, without noughts at their end."""
    places = next((places for places in (0, 1) if abs(value - round(value, places)) < 0.005), 2)
    return f"{value + 1e-9:.{places}f}"


def want(where, words, *figures):
    for figure in figures:
        if str(figure) not in words:
            problems.append(f"{where}: {figure} is not there")


layout = report["layout"]
words, _ = words_of("general-arrangement*.pdf")
want("general arrangement", words, shown(layout["room_total_mm"]))
for panel in layout["panels"]:
    want("general arrangement", words, shown(panel["length_mm"]))
    if panel["overlap_mm"]:
        want("general arrangement", words, shown(panel["overlap_mm"]))

words, _ = words_of("overlap-detail*.pdf")
want("overlap detail", words, shown(report["stack"]["gap_mm"]))
# A channel let into the frame takes that much off its packer.
values = json.loads((folder / "resolved.json").read_text())["values"]
recess = next(one["value"] for one in values if one["pointer"] == "/guides/recess_mm")
packer = report["stack"]["packing_mm"] - recess
if len(layout["panels"]) > 1 and packer > 0:
    want("overlap detail", words, shown(packer))

if report["ropes"]:
    words, _ = words_of("rope-diagram*.pdf")
    for rope in report["ropes"]:
        want("rope diagram", words, rope["mark"], shown(rope["length_mm"]))

words, _ = words_of("parts-list*.pdf")
for part in report["parts"]:
    want("parts list", words, part["mark"], part["quantity"])

with open(folder / "tables" / "set-out.csv", newline="") as file:
    rows = list(csv.DictReader(file))
words, _ = words_of("set-out-*.pdf")
for row in rows:
    for axis in ("x_mm", "y_mm"):
        place = float(row[axis])  # the table has tenths, the drawing at times hundredths
        if not any(abs(float(word) - place) < 0.056 for word in words if re.fullmatch(r"-?\d+(\.\d{1,2})?", word)):
            problems.append(f"set-out, {row['item']}: {row[axis]} is not there")
    level = float(row["z_mm"])  # told to the millimetre
    if not any(abs(float(word) - level) < 0.501 for word in words if re.fullmatch(r"-?\d+", word)):
        problems.append(f"set-out, {row['item']}: {level} is not there")



def hole_positions(words):
    """Along the rail, of what the list says of a rail's holes: a carrier's four by their middle."""
    found = []
    carrier = r"([\d.]+)x[\d.]+ apart in the underside, centre at (-?[\d.]+)"
    for apart, middle in re.findall(carrier, words):
        found += [float(middle) - float(apart) / 2, float(middle) + float(apart) / 2]
    found += [float(at) for at in re.findall(r"at (-?[\d.]+)", re.sub(carrier, "", words))]
    return found


rails = [part for part in report["parts"] if part["name"] == "bottom rail"]
with open(folder / "tables" / "cut-list.csv", newline="") as file:
    cuts = {row["mark"]: row for row in csv.DictReader(file)}
holes = 0
for rail in rails:
    sheets = [f"bottom-rail-panel-{entry}*.pdf" for entry in re.findall(r"panel (\d+)", cuts[rail["mark"]]["panels"])]
    for sheet in sheets:
        words, _ = words_of(sheet)
        for position in hole_positions(cuts[rail["mark"]]["cutouts"]):
            # The list prints hundredths, the drawing tenths: halves may go either way.
            figure = abs(position)
            if not any(abs(float(word) - figure) < 0.056 for word in words
                       if re.fullmatch(r"\d+(\.\d{1,2})?", word)):
                problems.append(f"{sheet}: {figure} is not there")
            holes += 1

for panel in layout["panels"]:
    words, _ = words_of(f"frame-panel-{panel['number']}*.pdf")
    for part in report["parts"]:
        if part["name"] in ("stile", "top rail") and part["mark"] in words:
            want(f"frame of panel {panel['number']}", words, shown(part["length_mm"]))

if problems:
    print("\n".join(problems))
    sys.exit(1)
print(f"{len(report['parts'])} parts, {len(rows)} set-out points, {holes} hole positions, "
      f"{len(report['ropes'])} ropes found in the drawings' text")
