"""Reads the drawing sheets of an output folder: DXF with ezdxf, PDF with qpdf and poppler's tools,
SVG with an XML parser, and compares the three with each other.

usage: drawing.py DIR

DIR/drawings/NAME.dxf and NAME.svg, NAME.pdf where there are any, DIR/drawings.pdf with a page for
each. DXF: audit without errors or fixes, R2000, mm, layers declared, nothing off the paper, and
every dimension true: its own text and its block's are the number that its points measure, times its
style's factor, and the arrows' tips are as far apart; numbers of a row that counts from a datum lie
as far along it as they say, at one scale. SVG: nothing run or fetched, every text on the paper. PDF:
whole, faces embedded, of the sheets' sizes. All three say the same words. Lists every problem.
"""

import math
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from collections import Counter
from pathlib import Path

import ezdxf
from ezdxf.path import make_path

MM_PER_POINT = 25.4 / 72
PAPER_MM = 1e-3  # how far off the sheet, or apart, is still rounding
PAGE_MM = 0.01  # pdfinfo's last decimal

problems = []


def check(is_so, where, what):
    if not is_so:
        problems.append(f"{where}: {what}")
    return is_so


def run(*command):
    return subprocess.run(command, capture_output=True, text=True, check=False)


def letters(texts):
    """How often each character occurs; blanks do not count."""
    return Counter("".join("".join(text.split()) for text in texts))


# ---------------------------------------------------------------- DXF


def decoded(text):
    """The format's own escapes."""
    return re.sub(r"\\U\+([0-9A-F]{4})", lambda found: chr(int(found[1], 16)), text)


def raw_pairs(path):
    lines = [line.strip() for line in path.read_text(encoding="ascii").splitlines()]
    return list(zip(lines[::2], lines[1::2]))


def check_handles(pairs, where):
    """The reader mends wrong owners without a word."""
    defined = [value for code, value in pairs if code in ("5", "105")]
    defined.remove(pairs[pairs.index(("9", "$HANDSEED")) + 1][1])
    twice = sorted(handle for handle, count in Counter(defined).items() if count > 1)
    check(not twice, where, f"handles twice: {twice}")
    referred = {value for code, value in pairs if code in ("330", "340", "350")}
    lost = sorted(referred - set(defined) - {"0"})
    check(not lost, where, f"handles of nothing: {lost}")


def declared_layers(pairs):
    """Names in the file's own layer table: the reader adds some of its own."""
    starts = [i for i, pair in enumerate(pairs) if pair == ("0", "LAYER")]
    return {next(value for code, value in pairs[i:] if code == "2") for i in starts}


def bounding_points(entity):
    """Points whose hull it lies in; curves by their control points."""
    kind = entity.dxftype()
    if kind == "TEXT":
        return [entity.dxf.insert]
    if kind == "SOLID":
        return [entity.dxf.vtx0, entity.dxf.vtx1, entity.dxf.vtx2, entity.dxf.vtx3]
    if kind == "HATCH":
        return [point for loop in entity.paths for point in loop_path(loop).control_vertices()]
    if kind == "LINE":
        return [entity.dxf.start, entity.dxf.end]
    return make_path(entity).control_vertices()


def outline_points(entity):
    """Points on it; arcs as short chords. Slow: for what is not on the sheet with its hull."""
    if entity.dxftype() == "HATCH":
        paths = [loop_path(loop) for loop in entity.paths]
    else:
        paths = [make_path(entity)]
    return [point for path in paths for point in path.flattening(PAPER_MM)]


def loop_path(loop):
    line = ezdxf.entities.LWPolyline()
    line.set_points(loop.vertices, format="xyb")
    line.closed = True
    return make_path(line)


def check_arrows(dimension, block, length, where):
    tips = [entity.dxf.vtx0 for entity in block if entity.dxftype() == "SOLID"]
    if not check(len(tips) == 2, where, f"{len(tips)} arrows"):
        return
    angle = math.radians(dimension.dxf.get("angle", 0))
    apart = (tips[1] - tips[0]).dot(ezdxf.math.Vec3(math.cos(angle), math.sin(angle)))
    off = (tips[1] - tips[0]).dot(ezdxf.math.Vec3(-math.sin(angle), math.cos(angle)))
    check(abs(abs(apart) - length) < PAPER_MM and abs(off) < PAPER_MM, where,
          f"arrows {apart:.4f} mm apart, points {length:.4f} mm")


def check_dimension(document, dimension, where):
    """Returns its block's entities and the number as printed."""
    name = dimension.dxf.get("geometry", "")
    if not check(name in document.blocks, where, f"block {name!r} is not there"):
        return [], []
    block = list(document.blocks.get(name))
    texts = [decoded(entity.dxf.text) for entity in block if entity.dxftype() == "TEXT"]
    check(len(block) > len(texts), where, f"block {name} shows no lines")
    style_name = dimension.dxf.get("dimstyle", "")
    if not check(len(texts) == 1, where, f"{len(texts)} texts in block {name}"):
        return block, texts
    if not check(style_name in document.dimstyles, where, f"no style {style_name!r}"):
        return block, texts
    style = document.dimstyles.get(style_name)
    factor, places = style.dxf.get("dimlfac", 1), style.dxf.get("dimdec", 2)
    check(dimension.dxf.dimtype & 15 == 0, where, f"type {dimension.dxf.dimtype}")
    length = dimension.get_measurement()
    value, stated = length * factor, dimension.dxf.get("actual_measurement", math.nan)
    rounding = 1e-5 * (1 + factor)  # coordinates are written to a millionth of a mm
    check(abs(value - stated) <= rounding, where, f"points measure {value:.6f}, said {stated}")
    literal = re.sub(r"\\([\\{}])", r"\1", decoded(dimension.dxf.get("text", "")))
    check(literal == texts[0], where, f"reads {literal!r} in one program, {texts[0]!r} in another")
    digits = rf"\d+\.\d{{{places}}}" if places else r"\d+(?!\.)"
    numbers = [found for found in re.findall(digits, literal)
               if abs(float(found) - stated) <= 0.5 * 10**-places + rounding]
    check(numbers, where, f"says {literal!r}, measures {stated}")
    check_arrows(dimension, block, length, where)
    return block, texts


NUMBER = re.compile(r"-?\d+(\.\d+)?")


def running_rows(entities):
    """Rows of numbers that count from a datum: by direction and level, (feature, number, decimals)."""
    ends = []
    for entity in entities:
        if entity.dxf.layer == "DIMENSION" and entity.dxftype() in ("LINE", "LWPOLYLINE", "POLYLINE"):
            points = bounding_points(entity)
            ends.append((ezdxf.math.Vec3(points[0]), ezdxf.math.Vec3(points[-1])))
    rows = {}
    for entity in entities:
        if entity.dxftype() != "TEXT" or entity.dxf.layer != "DIMENSION":
            continue
        text = decoded(entity.dxf.text)
        middle = ezdxf.math.Vec3(entity.dxf.get("align_point", entity.dxf.insert))
        angle = math.radians(entity.dxf.get("rotation", 0))
        along = ezdxf.math.Vec3(math.cos(angle), math.sin(angle))  # the extension line
        across = ezdxf.math.Vec3(along.y, -along.x)  # the direction of measuring
        middle += along.rotate_deg(90) * entity.dxf.height / 2
        on_line = [(abs((end - middle).dot(along)), start, end) for start, end in ends
                   if abs((end - middle).dot(across)) < PAPER_MM]
        if not on_line or not NUMBER.fullmatch(text):
            continue
        _, start, end = min(on_line, key=lambda one: one[0])
        level = round(end.dot(along), 2)
        places = len(text.partition(".")[2])
        rows.setdefault((round(math.degrees(angle)), level), []).append(
            (start.dot(across), float(text), places))
    return rows.values()


def runs_of(row):
    """Rows of views side by side that end at one level: each goes on while a standard scale fits."""
    scales = [sign * step * 10**power for sign in (1, -1) for power in range(-2, 4) for step in (1, 2, 5)]

    def fits(run):
        return any(all(abs(run[0][1] + (at - run[0][0]) * scale - number)
                       <= 0.5 * (10**-places + 10**-run[0][2]) + 2 * abs(scale) * PAPER_MM
                       for at, number, places in run) for scale in scales)

    runs = []
    for item in sorted(row):
        if runs and fits(runs[-1] + [item]):
            runs[-1].append(item)
        else:
            runs.append([item])
    return runs


def check_rows(entities, where):
    """Returns how many numbers are in rows."""
    count = 0
    entities = list(entities)
    # Details stand side by side, and their datum elsewhere.
    has_details = any(one.dxftype() == "TEXT" and decoded(one.dxf.text).startswith("Detail ") for one in entities)
    for row in running_rows(entities):
        runs = runs_of(row)
        for run in runs:
            # What fits no scale is a row by itself, and a row has its datum in it, or is of a stretch
            # of a rail that begins elsewhere: then its numbers stand as far apart as a scale has it.
            check(len(runs) == 1 or has_details or len(run) > 1 or any(number == 0 for _, number, _ in run), where,
                  f"{run[0][1]} of a row stands where no scale has it")
            count += len(run)
    return count


def off_sheet(points, width, height):
    """The first that is, in words."""
    for point in points:
        if not (-PAPER_MM <= point.x <= width + PAPER_MM
                and -PAPER_MM <= point.y <= height + PAPER_MM):
            return f"{point.x:.3f}, {point.y:.3f}"
    return ""


def read_dxf(path):
    """Size of the paper, texts, number of dimensions."""
    where = path.name
    try:
        document = ezdxf.readfile(path)
        pairs = raw_pairs(path)
        layers = declared_layers(pairs)
    except (ezdxf.DXFError, UnicodeDecodeError, StopIteration) as error:
        check(False, where, f"cannot be read: {error}")
        return None
    check_handles(pairs, where)
    audit = document.audit()
    for finding in audit.errors + audit.fixes:
        check(False, where, f"audit: {finding.message}")
    check(document.dxfversion == "AC1015", where, f"version {document.dxfversion}")
    check(document.header.get("$INSUNITS") == 4, where, "units are not mm")
    width, height = document.header.get("$LIMMAX", (0, 0))[:2]
    entities, texts, dimensions = [], [], 0
    for entity in document.modelspace():
        entities.append(entity)
        if entity.dxftype() == "TEXT":
            texts.append(decoded(entity.dxf.text))
        elif entity.dxftype() == "DIMENSION":
            dimensions += 1
            block, words = check_dimension(document, entity, f"{where}, dimension {dimensions}")
            entities += block
            texts += words
    check(entities, where, "nothing in it")
    dimensions += check_rows(document.modelspace(), where)
    for entity in entities:
        kind = entity.dxftype()
        spot = f"{where}, {kind} {entity.dxf.handle}"
        check(entity.dxf.layer in layers, spot, f"layer {entity.dxf.layer} is not declared")
        if kind == "DIMENSION":
            continue
        if kind == "TEXT":
            check(entity.dxf.height > 0, spot, f"height {entity.dxf.height}")
            check(entity.dxf.text.strip(), spot, "no words")
        off = off_sheet(bounding_points(entity), width, height)
        if off and kind not in ("TEXT", "SOLID", "LINE"):
            off = off_sheet(outline_points(entity), width, height)
        check(not off, spot, f"off the sheet at {off}")
    return (width, height), texts, dimensions


# ---------------------------------------------------------------- SVG

PLAIN_ELEMENTS = {"svg", "title", "desc", "rect", "g", "path", "text"}


def text_corners(element):
    """Ends of the base line and of the capitals' top, by the length that is asked for."""
    x, y = float(element.get("x")), float(element.get("y"))
    size, length = float(element.get("font-size")), float(element.get("textLength"))
    start = {"middle": -length / 2, "end": -length}.get(element.get("text-anchor"), 0)
    turn = re.fullmatch(r"rotate\((\S+) \S+ \S+\)", element.get("transform", "rotate(0 0 0)"))
    angle = math.radians(float(turn[1]))
    for along in (start, start + length):
        for up in (0, -0.729 * size):  # DejaVu Sans's capitals
            yield (x + along * math.cos(angle) - up * math.sin(angle),
                   y + along * math.sin(angle) + up * math.cos(angle))


def read_svg(path):
    """Size of the paper, texts."""
    where = path.name
    source = path.read_text(encoding="utf-8")
    check("<!DOCTYPE" not in source and "<!ENTITY" not in source, where, "has a document type")
    try:
        root = ElementTree.fromstring(source.encode("utf-8"))
    except ElementTree.ParseError as error:
        check(False, where, f"no XML: {error}")
        return None
    low_x, low_y, width, height = (float(part) for part in root.get("viewBox").split())
    check((low_x, low_y) == (0, 0), where, "does not begin at the corner")
    check(root.get("width") == f"{width:g}mm" and root.get("height") == f"{height:g}mm", where,
          "not 1:1 in mm")
    texts, strokes = [], 0
    for element in root.iter():
        name = element.tag.rpartition("}")[2]
        check(name in PLAIN_ELEMENTS, where, f"element {name}")
        for key, value in element.attrib.items():
            refers = key.rpartition("}")[2] in ("href", "src", "style") or key.startswith("on")
            check(not refers and "url(" not in value and "://" not in value, where,
                  f"attribute {key}={value!r}")
        if name == "path":
            strokes += 1
            check(re.fullmatch(r"[-mlhvaz0-9. ]+", element.get("d", "")), where, "path data")
        if name == "text":
            words = element.text or ""
            texts.append(words)
            check(float(element.get("font-size")) > 0, where, f"{words!r}: no height")
            for x, y in text_corners(element):
                on_sheet = (-PAPER_MM <= x <= width + PAPER_MM
                            and -PAPER_MM <= y <= height + PAPER_MM)
                check(on_sheet, where, f"{words!r} off the sheet at {x:.3f}, {y:.3f}")
    check(strokes > 0, where, "no lines")
    return (width, height), texts


# ---------------------------------------------------------------- PDF


def read_pdf(path):
    """Size and text of every page."""
    where = path.name
    whole = run("qpdf", "--check", path)
    if not check(whole.returncode == 0, where, f"qpdf: {whole.stdout}{whole.stderr}".strip()):
        return []
    fonts = run("pdffonts", path).stdout.splitlines()[2:]
    check(fonts, where, "no face at all")
    for font in fonts:
        check(font.split()[-5] == "yes", where, f"face is not embedded: {font.split()[0]}")
    count = re.search(r"^Pages:\s+(\d+)$", run("pdfinfo", path).stdout, re.M)
    info = run("pdfinfo", "-f", "1", "-l", count[1], path).stdout
    sizes = re.findall(r"^Page\s+\d+ size:\s+(\S+) x (\S+) pts", info, re.M)
    texts = run("pdftotext", "-raw", path, "-").stdout.split("\f")[:-1]  # each page ends with one
    check(len(sizes) == len(texts) == int(count[1]), where, f"{len(texts)} of {count[1]} pages read")
    return [(tuple(float(part) * MM_PER_POINT for part in size), text)
            for size, text in zip(sizes, texts)]


def same_size(one, other):
    return all(abs(a - b) <= PAGE_MM for a, b in zip(one, other))


def check_page(page, size, texts, where):
    found_size, found = page
    check(same_size(found_size, size), where, f"page is {found_size}, the sheet {size}")
    joined = "".join(found.split())
    for text in texts:
        check("".join(text.split()) in joined, where, f"{text!r} is not on the page")
    apart = letters([found])
    apart.subtract(letters(texts))
    wrong = {letter: count for letter, count in apart.items() if count}
    check(not wrong, where, f"letters too many (+) or missing (-) on the page: {wrong}")


def page_of(pages, size, texts):
    """The page that has its letters, else the nearest."""
    wanted = letters(texts)

    def strangeness(page):
        apart = letters([page[1]])
        apart.subtract(wanted)
        return (sum(abs(count) for count in apart.values()), not same_size(page[0], size))

    return min(pages, key=strangeness)


def check_sheet(folder, name, pages):
    """Takes its page out of `pages`. Returns how many dimensions it has."""
    dxf = read_dxf(folder / f"{name}.dxf")
    svg_path = folder / f"{name}.svg"
    svg = read_svg(svg_path) if check(svg_path.is_file(), name, "no SVG") else None
    if dxf is None:
        return 0
    size, texts, dimensions = dxf
    if svg is not None:
        check(same_size(svg[0], size), name, f"SVG is {svg[0]}, DXF {size}")
        apart = Counter(svg[1])
        apart.subtract(Counter(texts))
        wrong = {text: count for text, count in apart.items() if count}
        check(not wrong, name, f"texts only in SVG (+) or DXF (-): {wrong}")
    own = folder / f"{name}.pdf"
    if own.is_file():
        own_pages = read_pdf(own)
        if check(len(own_pages) == 1, own.name, f"{len(own_pages)} pages"):
            check_page(own_pages[0], size, texts, own.name)
    if check(pages, "drawings.pdf", f"no page left for {name}"):
        page = page_of(pages, size, texts)
        pages.remove(page)
        check_page(page, size, texts, f"drawings.pdf, {name}")
    return dimensions


def main():
    folder = Path(sys.argv[1])
    drawings = folder / "drawings"
    names = sorted(path.stem for path in drawings.glob("*.dxf"))
    check(names, drawings, "no sheet at all")
    others = {path.stem for path in drawings.glob("*") if path.suffix in (".svg", ".pdf")}
    check(others <= set(names), drawings, f"without DXF: {sorted(others - set(names))}")
    all_pages = folder / "drawings.pdf"
    pages = read_pdf(all_pages) if check(all_pages.is_file(), folder, "no drawings.pdf") else []
    dimensions = sum(check_sheet(drawings, name, pages) for name in names)
    check(not pages, "drawings.pdf", f"{len(pages)} pages of no sheet")
    for problem in problems:
        print(problem)
    if problems:
        sys.exit(f"{len(problems)} problems in the drawings")
    print(f"{len(names)} sheets with {dimensions} dimensions read by ezdxf, qpdf and poppler")


main()
