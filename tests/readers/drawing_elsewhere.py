"""Reads the sheets' DXF as another program draws them: librecad prints each to PDF, where words are
strokes of its own face, and these are read back.

usage: drawing_elsewhere.py DIR [SHEET...]

Its face is learnt from a file of single dimensions with known words. Then every dimension of
DIR/drawings/*.dxf (or of the sheets named), and every number of a row that counts from a datum, has
to stand in that program's drawing, at its place, with the words that ezdxf reads from our file.
Lists every problem.
"""

import math
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import ezdxf
from ezdxf.math import Vec3

DOT_MM = 25.4 / 1200
LEARNT_MM = 2.5  # height at which the face is learnt
ALIKE_MM = 0.16  # between strokes of one character, drawn twice: prints are rounded to 0.02
STRANGE = 0.03  # of a character's cells, at most
problems = []


def decoded(text):
    plain = re.sub(r"\\U\+([0-9A-F]{4})", lambda found: chr(int(found[1], 16)), text)
    return re.sub(r"\\([\\{}])", r"\1", plain)


def printed(folder, name):
    """Strokes of a file's print, mm from the sheet's lower left corner."""
    environment = dict(os.environ, QT_QPA_PLATFORM="offscreen", HOME=str(folder),
                       XDG_RUNTIME_DIR=str(folder))
    subprocess.run(["librecad", "dxf2pdf", f"{name}.dxf"], cwd=folder, env=environment,
                   capture_output=True, check=True)
    page = subprocess.run(["qpdf", "--qdf", "--object-streams=disable", folder / f"{name}.pdf", "-"],
                          capture_output=True, check=True).stdout.decode("latin-1")
    points = [(operator, float(x), float(y))
              for x, y, operator in re.findall(r"^(\S+) (\S+) ([ml])$", page, re.M)]
    # The page itself comes first, in printer's dots, which do not fill a millimetre evenly.
    wide, high = points[2][1:]
    dots_per_mm = (wide / round(wide * DOT_MM) + high / round(high * DOT_MM)) / 2
    found, last = [], None
    for operator, x, y in points[5:]:
        here = Vec3(x, high - y) / dots_per_mm
        if operator == "l":
            found.append((last, here))
        last = here
    return found


APART_HEIGHTS = 1.1  # between one number and the next on the same line


def characters(strokes, middle, turned_deg, half_length, height):
    """Around a text's middle, along it: for each character its points, mm from the text's middle line,
    from its own left; scaled to the height at which the face is learnt. In words: what stands
    APART_HEIGHTS from the next is another word."""
    turned = math.radians(turned_deg)
    along, up = Vec3(math.cos(turned), math.sin(turned)), Vec3(-math.sin(turned), math.cos(turned))
    lines = []
    for ends in strokes:
        if all(abs((end - middle).dot(along)) <= half_length
               and abs((end - middle).dot(up)) <= 0.58 * height for end in ends):
            ends = [((end - middle).dot(along), (end - middle).dot(up)) for end in ends]
            lines.append((min(ends[0][0], ends[1][0]), max(ends[0][0], ends[1][0]), ends))
    lines.sort(key=lambda line: line[0])
    words, reach = [], -math.inf
    for left, right, ends in lines:
        if left > reach + APART_HEIGHTS * height:
            words.append([])
        if left > reach + 0.04 * height:
            words[-1].append([])
        words[-1][-1].append(ends)
        reach = max(reach, right)
    return [[steps_of(group, LEARNT_MM / height) for group in word] for word in words]


def steps_of(group, size):
    """Points along a character's strokes."""
    left = min(x for ends in group for x, _ in ends)
    points = set()
    for (x0, y0), (x1, y1) in group:
        steps = max(1, math.ceil(math.hypot(x1 - x0, y1 - y0) * size / 0.1))
        for step in range(steps + 1):
            part = step / steps
            points.add((round((x0 + (x1 - x0) * part - left) * size, 2),
                        round((y0 + (y1 - y0) * part) * size, 2)))
    return points


CELL_MM = 0.08
AROUND = [(i, j) for i in range(-2, 3) for j in range(-2, 3)]  # ALIKE_MM to either side


def cells(points, right=0):
    return {(round((x + right) / CELL_MM), round(y / CELL_MM)) for x, y in points}


def strange(one, other):
    """Share of one's cells that lie off the other by more than ALIKE_MM."""
    return sum(all((i + di, j + dj) not in other for di, dj in AROUND) for i, j in one) / len(one)


def apart(one, other):
    if abs(max(x for x, _ in one) - max(x for x, _ in other)) > 2 * ALIKE_MM:
        return 1
    these, those = cells(one), cells(other)
    return max(strange(these, those), strange(those, these))


def holds(points, character):
    """Whether a character stands among strokes that run into it."""
    room = max(x for x, _ in points) - max(x for x, _ in character)
    those = cells(points)
    return any(strange(cells(character, step * CELL_MM), those) <= STRANGE
               for step in range(-1, math.ceil(max(room, 0) / CELL_MM) + 2))


def learn(folder, sheet, alphabet, kind):
    """Points of every character as words of that kind of entity have them."""
    face = {}
    for number, character in enumerate(alphabet):
        document = ezdxf.readfile(sheet)
        space = document.modelspace()
        first = next(entity for entity in space if said_by(entity) and entity.dxftype() == kind)
        for entity in list(space):
            if entity is not first:
                space.delete_entity(entity)
        first.dxf.text = "0" + character + "0"
        document.saveas(folder / "learn.dxf")
        _, middle, turned, height = said_by(first, document)
        found = [points for word in characters(printed(folder, "learn"), middle, turned, 3 * height, height)
                 for points in word]
        if len(found) == 3:  # else a letter that runs into its neighbour
            face[character] = found[1]
    unknown = set("0123456789.-") & set(alphabet) - set(face)
    if unknown:
        raise SystemExit(f"{unknown} are not drawn as one character each")
    return face


def is_said(wanted, found, face):
    """Where characters begin with those wanted: how many of them say so; else nothing. Some run into
    each other, and l and I are one stroke in some faces."""
    if not wanted:
        return 0
    for together in range(1, len(wanted) + 1) if found else ():
        if not all(holds(found[0], face[character]) for character in wanted[:together]):
            break
        if (rest := is_said(wanted[together:], found[1:], face)) is not None:
            return 1 + rest
    return None


def check_words(text, words, face, where):
    whole = text.replace(" ", "")
    # Of words with a letter that cannot be told, what can; the number always.
    parts = re.findall("[" + re.escape("".join(face)) + "]+", whole)
    wanted = max(parts, key=lambda part: (bool(re.search(r"\d", part)), len(part)), default="")
    read = []
    for found in words:
        nearest = [min((apart(points, known), character) for character, known in face.items())
                   for points in found]
        read.append("".join(character if distance <= STRANGE else "?" for distance, character in nearest))
    if re.fullmatch(r"-?[\d.]+", wanted) and wanted == whole:
        is_there = wanted in (word.strip("?") for word in read)
    else:
        found = [points for word in words for points in word]
        is_there = any(is_said(wanted, found[start:], face) is not None for start in range(len(found)))
    if not is_there:
        problems.append(f"{where}: {text!r} is drawn as {' '.join(read)!r}")


def said_by(entity, document=None):
    """Words, middle, direction, height of a dimension or a running number; else nothing."""
    if entity.dxftype() == "DIMENSION":
        height = document.dimstyles.get(entity.dxf.dimstyle).dxf.dimtxt if document else 0
        return decoded(entity.dxf.text), entity.dxf.text_midpoint, entity.dxf.get("angle", 0), height
    if entity.dxftype() == "TEXT" and entity.dxf.layer == "DIMENSION":
        turned, height = entity.dxf.get("rotation", 0), entity.dxf.height
        up = Vec3(-math.sin(math.radians(turned)), math.cos(math.radians(turned)))
        middle = Vec3(entity.dxf.get("align_point", entity.dxf.insert)) + up * height / 2
        return decoded(entity.dxf.text), middle, turned, height
    return None


def words_of(sheet):
    """What is said by each entity that says something, with its kind."""
    document = ezdxf.readfile(sheet)
    return [(entity.dxftype(), *said_by(entity, document)) for entity in document.modelspace()
            if said_by(entity)]


def main():
    drawings = Path(sys.argv[1]) / "drawings"
    sheets = [drawings / f"{name}.dxf" for name in sys.argv[2:]] or sorted(drawings.glob("*.dxf"))
    said = {sheet: words_of(sheet) for sheet in sheets}
    count = 0
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        os.chmod(folder, 0o700)
        faces = {}
        for kind in ("DIMENSION", "TEXT"):
            texts = {sheet: [text for one, text, *_ in words if one == kind] for sheet, words in said.items()}
            model = next((sheet for sheet, found in texts.items() if found), None)
            alphabet = sorted(set("".join("".join(found) for found in texts.values())) - {" "})
            faces[kind] = learn(folder, model, alphabet, kind) if model else {}
        for sheet, words in said.items():
            if not words:
                continue
            (folder / sheet.name).write_bytes(sheet.read_bytes())
            strokes = printed(folder, sheet.stem)
            for kind, text, middle, turned, height in words:
                count += 1
                # A dimension too narrow for its words has them where that program sets them.
                each = 0.5 if text.replace(".", "").lstrip("-").isdigit() else 1.0
                half_length = (each * len(text) + (5 if kind == "DIMENSION" else 0.15)) * height
                check_words(text, characters(strokes, middle, turned, half_length, height), faces[kind],
                            f"{sheet.name} at {middle.x:.0f}, {middle.y:.0f}")
    for problem in problems:
        print(problem)
    if problems or count == 0:
        sys.exit(f"{len(problems)} problems in {count} numbers")
    print(f"{count} numbers of {len(sheets)} sheets read as librecad draws them")


main()
