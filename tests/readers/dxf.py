"""Reads every DXF profile of an output folder with ezdxf and compares it with tables/profiles.csv.

usage: dxf.py DIR

Each file: audit without errors or fixes; R2000, mm; only layer CUT; every loop one closed polyline
or a circle, with as many points as it says; no piece twice, no vertex near another; holes inside
the outline; area, overall size, number of holes and smallest hole as listed. The area is summed from
the entities here, arcs as circular segments.
"""

import csv
import math
import sys
from pathlib import Path

import ezdxf


def segments(polyline):
    """Start, end and bulge of every piece."""
    points = list(polyline.get_points("xyb"))
    for index, (x, y, bulge) in enumerate(points):
        x1, y1, _ = points[(index + 1) % len(points)]
        yield (x, y), (x1, y1), bulge


def polyline_area(polyline):
    area = 0.0
    for (x, y), (x1, y1), bulge in segments(polyline):
        area += (x * y1 - x1 * y) / 2
        if bulge:
            angle = 4 * math.atan(bulge)
            chord = math.hypot(x1 - x, y1 - y)
            radius = chord / (2 * math.sin(abs(angle) / 2))
            area += math.copysign(radius**2 * (abs(angle) - math.sin(abs(angle))) / 2, angle)
    return area


def extent(entity):
    if entity.dxftype() == "CIRCLE":
        centre, radius = entity.dxf.center, entity.dxf.radius
        return centre.x - radius, centre.y - radius, centre.x + radius, centre.y + radius
    xs, ys = [], []
    for (x, y), (x1, y1), bulge in segments(entity):
        steps = 200 if bulge else 1
        for i in range(steps):
            if not bulge:
                xs.append(x)
                ys.append(y)
                continue
            angle = 4 * math.atan(bulge)
            mx, my, t = (x + x1) / 2, (y + y1) / 2, (1 - bulge**2) / (4 * bulge)
            cx, cy = mx - t * (y1 - y), my + t * (x1 - x)
            turn = angle * i / steps
            dx, dy = x - cx, y - cy
            xs.append(cx + dx * math.cos(turn) - dy * math.sin(turn))
            ys.append(cy + dx * math.sin(turn) + dy * math.cos(turn))
    return min(xs), min(ys), max(xs), max(ys)


def pairs_of(path):
    """Group codes and values as they stand in the file."""
    lines = [line.strip() for line in path.read_text(encoding="ascii").splitlines()]
    return list(zip(lines[::2], lines[1::2]))


def announced_and_found(path):
    """Number of points that each polyline announces, and that it has: the reader forgives a wrong one."""
    counts, inside = [], False
    for code, value in pairs_of(path):
        if code == "0":
            inside = value == "LWPOLYLINE"
            if inside:
                counts.append([None, 0])
        elif inside and code == "90":
            counts[-1][0] = int(value)
        elif inside and code == "10":
            counts[-1][1] += 1
    return counts


def layers_of(path):
    """Names in the file's own layer table: the reader adds one of its own."""
    pairs = pairs_of(path)
    starts = [i for i, pair in enumerate(pairs) if pair == ("0", "LAYER")]
    return sorted(next(value for code, value in pairs[i:] if code == "2") for i in starts)


def check(path, row):
    document = ezdxf.readfile(path)
    audit = document.audit()
    assert not audit.errors and not audit.fixes, f"{path}: audit {audit.errors} {audit.fixes}"
    assert document.dxfversion == "AC1015", path
    assert document.header["$INSUNITS"] == 4 and document.header["$MEASUREMENT"] == 1, path
    assert layers_of(path) == ["0", "CUT"], f"{path}: layers {layers_of(path)}"
    for announced, found in announced_and_found(path):
        assert announced == found, f"{path}: {announced} points announced, {found} there"
    handles = [entity.dxf.handle for entity in document.modelspace()]
    assert len(set(handles)) == len(handles), path
    loops, pieces, area = [], set(), 0.0
    for entity in document.modelspace():
        assert entity.dxf.layer == "CUT", path
        kind = entity.dxftype()
        if kind == "CIRCLE":
            piece = ("circle", round(entity.dxf.center.x, 5), round(entity.dxf.center.y, 5),
                     round(entity.dxf.radius, 5))
            loops.append((math.pi * entity.dxf.radius**2, extent(entity), 2 * entity.dxf.radius))
            assert piece not in pieces, f"{path}: a circle twice"
            pieces.add(piece)
            continue
        assert kind == "LWPOLYLINE" and entity.closed, f"{path}: {kind}"
        for start, end, _ in segments(entity):
            assert math.dist(start, end) > 1e-3, f"{path}: two vertices on one spot"
            key = tuple(sorted([tuple(round(c, 5) for c in start), tuple(round(c, 5) for c in end)]))
            assert key not in pieces, f"{path}: a piece twice"
            pieces.add(key)
        x0, y0, x1, y1 = extent(entity)
        loops.append((abs(polyline_area(entity)), (x0, y0, x1, y1), min(x1 - x0, y1 - y0)))
    loops.sort(key=lambda loop: -loop[0])
    outline, holes = loops[0], loops[1:]
    for hole in holes:
        assert outline[1][0] < hole[1][0] and hole[1][2] < outline[1][2], f"{path}: hole outside"
        assert outline[1][1] < hole[1][1] and hole[1][3] < outline[1][3], f"{path}: hole outside"
    area = outline[0] - sum(hole[0] for hole in holes)
    assert abs(area - float(row["cut_area_mm2"])) <= 0.051 + 1e-6 * area, f"{path}: area {area}"
    x0, y0, x1, y1 = outline[1]
    assert abs(x0) < 1e-6 and abs(y0) < 1e-6, f"{path}: does not start at the origin"
    assert abs(x1 - float(row["width_mm"])) < 0.002, f"{path}: width {x1}"
    assert abs(y1 - float(row["height_mm"])) < 0.002, f"{path}: height {y1}"
    low, high = document.header["$EXTMIN"], document.header["$EXTMAX"]
    assert math.dist(low[:2], (x0, y0)) < 1e-3 and math.dist(high[:2], (x1, y1)) < 1e-3, path
    assert len(holes) == int(row["holes"]), path
    if holes:
        least = min(hole[2] for hole in holes)
        assert abs(least - float(row["smallest_hole_mm"])) < 0.01, f"{path}: hole {least}"
    thickness = path.parent.name
    assert thickness == f"{row['thickness_mm']}mm", path
    stem = f"{row['mark']}_{row['material']}_{thickness}_x{row['quantity']}"
    # The job's number comes first, where there is one.
    assert (path.stem == stem or path.stem.endswith("_" + stem)) and path.parent.parent.name == row["material"], path


def main():
    folder = Path(sys.argv[1])
    with open(folder / "tables" / "profiles.csv", newline="", encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    listed = {row["file"]: row for row in rows if row["file"]}
    found = {str(path.relative_to(folder)) for path in folder.glob("profiles/**/*.dxf")}
    assert found == set(listed), f"listed {sorted(listed)}, found {sorted(found)}"
    assert listed, "no profile at all"
    for name, row in listed.items():
        check(folder / name, row)
    for row in rows:
        assert row["file"] or row["note"], f"{row['mark']}: neither file nor reason"
    print(f"{len(listed)} profiles read by ezdxf, no errors, no fixes")


main()
