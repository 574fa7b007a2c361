#!/usr/bin/python3
"""Checks the gate file's JSON Schema with an independent validator (python3-jsonschema).

Usage: params_schema_check.py path/to/leafstack

The schema must be a valid 2020-12 schema, accept every good gate below and the starter gate, and
refuse every broken gate whose fault a schema can see (tests/broken/expected.json says which). The
program's own reader must agree: it refuses (exit code 3) exactly the broken ones.
"""
import json
import pathlib
import re
import subprocess
import sys
import tempfile

import jsonschema

BROKEN = pathlib.Path(__file__).parents[1] / "broken"
INVALID_INPUT = 3

GOOD = {
    "least": {},
    "version": {"leafstack": 1},
    "version as 1.0": {"leafstack": 1.0},
    "whole numbers with a point": {"gate": {"panels": 2.0}},
    "opening at its ends": {"site": {"opening_mm": 1000}},
    "every auto": {
        "site": {"room_mm": "auto", "setback_mm": "auto", "pocket_width_mm": "auto"},
        "gate": {"panels": "auto", "cladding": {"bottom_mm": "auto"}},
        "guides": {"packing_mm": "auto"},
        "ropes": {"pulley_pitch_mm": "auto", "heights_mm": "auto"},
        "drive": {"packing_mm": "auto"},
    },
    "zeros": {"site": {"grade": 0, "cross_grade": -0.0, "track_survey_mm": [], "room_mm": 0}},
    "heights": {"gate": {"panels": 3}, "ropes": {"heights_mm": [36, 66.5]}},
    "units and a schema's name": {
        "$schema": "gate-schema.json",
        "site": {"opening_mm": "19' 8\"", "room_mm": "3.2 m", "grade": "1:20", "bank": "5 %"},
        "gate": {"height_mm": "170 cm", "tuck_mm": "0 mm"},
        "ropes": {"heights_mm": ["27 mm"], "bracket_inset_mm": "-1/2 in"},
    },
    "narrow motor": {"drive": {"motor": "narrow"}},
    "motor of one size": {"drive": {"motor": {"length_mm": 200}}},
    "motor with no size": {"drive": {"motor": {}}},
    "texts": {"job": {"title": "Töröffnung " + "é" * 80, "client": "O'Neill \"& Co\"", "date": ""}},
    "sections": {
        "gate": {
            "bottom_rail": "rhs 100 x 50 × 3",
            "top_rail": " SHS50X2.5",
            "stile": "RHS 50x50x3",
            "infill": {"kind": "slats", "section": "shs 20×2"},
        }
    },
    "empty groups": {
        "job": {}, "gate": {"infill": {}, "cladding": {}}, "guides": {}, "ropes": {}, "drive": {},
        "checks": {},
    },
    "choices": {
        "site": {"opens": "left"},
        "gate": {
            "top": "stepped", "stacking": "staggered", "material": "aluminium",
            "infill": {"kind": "open"}, "cladding": {"kind": "battens"}, "return": False,
        },
        "guides": {"mount": "reach-over", "hide": False},
        "ropes": {"construction": "7x7"},
    },
}


def refuse_constant(name):
    raise ValueError(name + " is not JSON")


def strictly_parsed(data):
    """JSON as RFC 8259 has it; Python's own reader lets NaN and a byte order mark through."""
    return json.loads(data.decode("utf-8"), parse_constant=refuse_constant)


class Check:
    def __init__(self, program):
        self.program = program
        schema = json.loads(self.run("schema").stdout)
        jsonschema.Draft202012Validator.check_schema(schema)
        self.validator = jsonschema.Draft202012Validator(schema)
        self.passed = 0
        self.failures = []

    def run(self, *arguments):
        return subprocess.run([self.program, *arguments], capture_output=True, check=False)

    def expect(self, condition, text):
        if condition:
            self.passed += 1
        else:
            self.failures.append(text)

    def reader_refuses(self, path):
        return self.run("check", str(path)).returncode == INVALID_INPUT

    def good(self, name, gate, folder):
        gate.setdefault("site", {}).setdefault("opening_mm", 6000)
        errors = [error.message for error in self.validator.iter_errors(gate)]
        self.expect(not errors, f"{name}: the schema refuses it: {errors}")
        path = pathlib.Path(folder) / "gate.json"
        path.write_text(json.dumps(gate, ensure_ascii=False), encoding="utf-8")
        self.expect(not self.reader_refuses(path), f"{name}: the reader refuses it")

    def examples(self, node, where=""):
        """Each example is one that its own schema takes, with a title that people read."""
        for key, below in node.get("properties", {}).items():
            for example in below.get("examples", []):
                errors = list(jsonschema.Draft202012Validator(below).iter_errors(example))
                self.expect(not errors, f"{where}/{key}: example {example}: {errors[:1]}")
            self.expect("_" not in below.get("title", ""), f"{where}/{key}: {below.get('title')}")
            texts = below.get("enumDescriptions", below.get("enum", []))
            self.expect(len(texts) == len(below.get("enum", [])), f"{where}/{key}: texts of choices")
            self.examples(below, f"{where}/{key}")

    def broken(self, name, seen):
        path = BROKEN / name
        self.expect(self.reader_refuses(path), f"{name}: the reader accepts it")
        try:
            gate = strictly_parsed(path.read_bytes())
        except ValueError:
            self.expect(seen == "not JSON", f"{name}: not JSON, but expected to be '{seen}'")
            return
        refused = not self.validator.is_valid(gate)
        self.expect(refused == (seen == "sees"), f"{name}: schema refuses it: {refused}, but '{seen}'")


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    check = Check(sys.argv[1])
    with tempfile.TemporaryDirectory() as folder:
        check.good("starter gate", json.loads(re.sub(rb"(?m)^ *//.*$", b"", check.run("new").stdout)), folder)
        for name, gate in GOOD.items():
            check.good(name, gate, folder)
    check.examples(check.validator.schema)
    for case in json.loads((BROKEN / "expected.json").read_text(encoding="utf-8")):
        check.broken(case["file"], case["schema"])
    for failure in check.failures:
        print("FAILED", failure)
    print(f"{check.passed} passed, {len(check.failures)} failed")
    sys.exit(1 if check.failures else 0)


if __name__ == "__main__":
    main()
