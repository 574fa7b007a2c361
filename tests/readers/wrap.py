"""Reads the wrap-around templates of an output folder: DXF with ezdxf, PDF with qpdf and pdftotext.

usage: wrap.py DIR

Each DXF: audit without errors or fixes, layers CUT, FOLD and TEXT, something to cut in it. The PDF
is whole, and its text names every mark and the caution about printing.
"""

import json
import re
import subprocess
import sys
from pathlib import Path

import ezdxf


def main():
    folder = Path(sys.argv[1])
    files = sorted((folder / "templates").glob("*_wrap.dxf"))
    assert files, "no template at all"
    pdf = folder / "templates" / "wrap.pdf"
    checked = subprocess.run(["qpdf", "--check", pdf], capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr
    text = subprocess.run(["pdftotext", pdf, "-"], capture_output=True, text=True, check=True).stdout
    assert "Print at 100 %" in text
    # "ST1 to ST9": all from the first to the last.
    for letters, first, last in re.findall(r"\b([A-Z]+)(\d+) to \1(\d+)\b", text):
        text += "".join(f" {letters}{number}" for number in range(int(first), int(last) + 1))
    parts = {part["mark"] for part in json.loads((folder / "report.json").read_text())["parts"]}
    for path in files:
        mark = path.name[: -len("_wrap.dxf")].split("_")[-1]
        assert mark in parts, f"{path}: no such part"
        assert mark in text, f"{mark} is not on paper"
        document = ezdxf.readfile(path)
        audit = document.audit()
        assert not audit.errors and not audit.fixes, path
        assert document.header["$INSUNITS"] == 4, path
        layers = {entity.dxf.layer for entity in document.modelspace()}
        assert layers == {"CUT", "FOLD", "TEXT"}, f"{path}: {layers}"
        assert len(document.modelspace().query('*[layer=="CUT"]')) >= 2, path
    print(f"{len(files)} templates read by ezdxf, qpdf and pdftotext")


main()
