"""Ways of damaging our own STEP, STL, DXF and GLB files, each a function (bytes, dice) -> bytes.

Each does what a broken writer, a bad disk or a careless hand could do and leaves a file that still
looks like one. None may be harmless: whatever is changed here is something the readers promise to
check.
"""

import json
import re
import struct


def text_damage(change):
    """A damage of a text file, written for str."""
    def damage(data, dice):
        return change(data.decode("utf-8"), dice).encode("utf-8")
    damage.__name__ = change.__name__
    return damage


def replace_one(text, dice, pattern, new):
    """One match, chosen by dice, replaced by new(match)."""
    matches = list(re.finditer(pattern, text))
    match = dice.choice(matches)
    return text[:match.start()] + new(match) + text[match.end():]


# ---------------------------------------------------------------- STEP

def of_entity(name, pattern, new):
    """Changes `pattern` within one entity of a kind."""
    def change(text, dice):
        return replace_one(text, dice, rf"#\d+ = {name}\([^;]*;",
                           lambda match: re.sub(pattern, new, match.group(), count=1))
    return change


def moved(match):
    return f"{float(match.group(1)) + 1:.6f}"


def step_line_lost(text, dice):
    return replace_one(text, dice, r"#\d+ = (ADVANCED_FACE|EDGE_CURVE|ORIENTED_EDGE|PLANE)\([^;]*;\n",
                       lambda match: "")


def step_face_left_out(text, dice):
    return replace_one(text, dice, r"CLOSED_SHELL\('[^']*',\(#\d+,",
                       lambda match: match.group().rsplit("#", 1)[0])


def step_dangling(text, dice):
    return replace_one(text, dice, r"(?<=EDGE_LOOP\('',\()#\d+", lambda match: "#99999999")


def step_wrong_kind(text, dice):
    return replace_one(text, dice, r"(?<=VERTEX_POINT\('',)#\d+", lambda match: "#1")


def step_number_twice(text, dice):
    numbers = re.findall(r"^#(\d+) = PLANE", text, re.M)
    a, b = dice.sample(numbers, 2)
    return re.sub(rf"^#{a} = PLANE", f"#{b} = PLANE", text, count=1, flags=re.M)


def step_truncated(text, dice):
    return text[:dice.randrange(len(text) // 4, len(text) - 100)]


def step_no_end(text, dice):
    return text.replace("END-ISO-10303-21;", "")


def step_metres(text, dice):
    return text.replace("LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.)",
                        "LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT($,.METRE.)")


def step_mark_changed(text, dice):
    return replace_one(text, dice, r"(?<=\bPRODUCT\(')[A-Z]{2}\d+", lambda match: match.group() + "9")


def step_occurrence_lost(text, dice):
    return replace_one(text, dice, r"#\d+ = CONTEXT_DEPENDENT_SHAPE_REPRESENTATION\([^;]*;\n",
                       lambda match: "")


def step_garbage(text, dice):
    return replace_one(text, dice, r"CARTESIAN_POINT\('',\([^,]*,", lambda m: m.group()[:-1] + "?,")


def step_comma_lost(text, dice):
    return replace_one(text, dice, r"CARTESIAN_POINT\('',\([^,]*,", lambda m: m.group()[:-1] + " ")


def step_quote_lost(text, dice):
    return replace_one(text, dice, r"PRODUCT\('[^']*'", lambda match: match.group()[:-1])


def step_not_a_number(text, dice):
    return replace_one(text, dice, r"(?<=CARTESIAN_POINT\('',\()[-0-9.E]*", lambda match: "NAN")


step_edge_turned = of_entity("ORIENTED_EDGE", r"\.([TF])\.\)",
                             lambda m: ".F.)" if m.group(1) == "T" else ".T.)")
step_face_turned = of_entity("ADVANCED_FACE", r"\.([TF])\.\)",
                             lambda m: ".F.)" if m.group(1) == "T" else ".T.)")
step_radius = of_entity("CIRCLE", r"([0-9.E+-]+)\)", lambda m: f"{float(m.group(1)) + 1:.6f})")
step_cylinder = of_entity("CYLINDRICAL_SURFACE", r"([0-9.E+-]+)\)",
                          lambda m: f"{float(m.group(1)) + 1:.6f})")


def step_vertex_moved(text, dice):
    vertex = dice.choice(re.findall(r"VERTEX_POINT\('',#(\d+)\)", text))
    return re.sub(rf"(#{vertex} = CARTESIAN_POINT\('',\()([-0-9.E+]+)",
                  lambda m: m.group(1) + f"{float(m.group(2)) + 1:.6f}", text, count=1)


# ---------------------------------------------------------------- STL (binary)

FACET = 50


def facets(data):
    return struct.unpack_from("<I", data, 80)[0]


def any_facet(data, dice):
    return 84 + FACET * dice.randrange(facets(data))


def stl_turned(data, dice):
    at = any_facet(data, dice)
    corners = [data[at + 12 + 12 * i:at + 24 + 12 * i] for i in range(3)]
    return data[:at + 12] + corners[0] + corners[2] + corners[1] + data[at + 48:]


def stl_all_turned(data, dice):
    for index in range(facets(data)):
        at = 84 + FACET * index
        data = (data[:at + 12] + data[at + 24:at + 36] + data[at + 12:at + 24] + data[at + 36:])
    return data


def stl_lost(data, dice):
    at = any_facet(data, dice)
    return data[:80] + struct.pack("<I", facets(data) - 1) + data[84:at] + data[at + FACET:]


def stl_twice(data, dice):
    at = any_facet(data, dice)
    return data[:80] + struct.pack("<I", facets(data) + 1) + data[84:] + data[at:at + FACET]


def stl_corner_moved(data, dice):
    at = any_facet(data, dice) + 12
    return data[:at] + struct.pack("<f", struct.unpack_from("<f", data, at)[0] + 1) + data[at + 4:]


def stl_not_a_number(data, dice):
    at = any_facet(data, dice) + 12
    return data[:at] + struct.pack("<f", float("nan")) + data[at + 4:]


def stl_truncated(data, dice):
    return data[:any_facet(data, dice) + 20]


def stl_count(data, dice):
    return data[:80] + struct.pack("<I", facets(data) + 3) + data[84:]


def scaled(data, factor):
    out = bytearray(data)
    for index in range(facets(data)):
        for corner in range(9):
            at = 84 + FACET * index + 12 + 4 * corner
            struct.pack_into("<f", out, at, factor * struct.unpack_from("<f", data, at)[0])
    return bytes(out)


def stl_inches(data, dice):
    return scaled(data, 1 / 25.4)


def stl_slightly_small(data, dice):
    return scaled(data, 0.99)


def stl_empty(data, dice):
    return b""


def stl_no_facets(data, dice):
    return data[:80] + struct.pack("<I", 0)


# ---------------------------------------------------------------- DXF

def dxf_truncated(text, dice):
    return text[:dice.randrange(len(text) // 2, len(text) - 20)]


def dxf_no_end(text, dice):
    return text[:text.rindex("EOF")]


def dxf_open(text, dice):
    return replace_one(text, dice, r"(?<=LWPOLYLINE)(?:(?!\n *0\r?\n)[^\0])*?\n *70\r?\n *1(?=\r?\n)",
                       lambda match: match.group()[:-1] + "0")


def entities(text):
    """Start of the entities, and the spans of polylines and circles in them."""
    begin = text.index("ENTITIES")
    end = text.index("ENDSEC", begin)
    spans = []
    starts = [m.start() + 1 for m in re.finditer(r"\n *0\r?\n(?=LWPOLYLINE|CIRCLE)", text[begin:end])]
    # The last one ends before the group 0 that ENDSEC belongs to.
    ends = starts[1:] + [text[begin:end].rindex("0", 0, end - begin - 1)]
    for start, last in zip(starts, ends):
        spans.append((begin + start, begin + last))
    return spans


def dxf_entity_lost(text, dice):
    start, end = dice.choice(entities(text))
    return text[:start] + text[end:]


def dxf_entity_twice(text, dice):
    start, end = dice.choice(entities(text))
    again = re.sub(r"(\n *5\r?\n)[0-9A-F]+", r"\1FFFF", text[start:end], count=1)
    return text[:end] + again + text[end:]


def in_entity(text, dice, pattern, new):
    start, end = dice.choice(entities(text))
    return text[:start] + re.sub(pattern, new, text[start:end], count=1) + text[end:]


def dxf_moved(text, dice):
    return in_entity(text, dice, r"(\n *10\r?\n)([-0-9.E+]+)",
                     lambda m: m.group(1) + str(float(m.group(2)) + 500))


def dxf_layer(text, dice):
    return in_entity(text, dice, r"(\n *8\r?\n)CUT", r"\1MARK")


def dxf_not_a_number(text, dice):
    return in_entity(text, dice, r"(\n *20\r?\n)[-0-9.E+]+", r"\1nan")


def dxf_text_for_number(text, dice):
    return in_entity(text, dice, r"(\n *20\r?\n)[-0-9.E+]+", r"\1twelve")


def dxf_inches(text, dice):
    return re.sub(r"(\$INSUNITS\r?\n *70\r?\n *)4", r"\g<1>1", text)


def dxf_version(text, dice):
    return text.replace("AC1015", "AC9999")


def dxf_group_lost(text, dice):
    return in_entity(text, dice, r"\n *100\r?\n", "\n")


def dxf_scaled(text, dice):
    start = text.index("ENTITIES")
    return text[:start] + re.sub(r"(\n *(?:10|20|40)\r?\n)([-0-9.E+]+)",
                                 lambda m: m.group(1) + f"{float(m.group(2)) / 25.4:.9f}", text[start:])


def dxf_section_renamed(text, dice):
    return text.replace("ENTITIES", "ENTITLES", 1)


# ---------------------------------------------------------------- GLB

def chunks(data):
    length = struct.unpack_from("<I", data, 12)[0]
    return json.loads(data[20:20 + length]), data[20 + length + 8:]


def packed(gltf, binary):
    text = json.dumps(gltf, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    body = (struct.pack("<I4s", len(text), b"JSON") + text +
            struct.pack("<I4s", len(binary), b"BIN\0") + binary)
    return struct.pack("<4sII", b"glTF", 2, 12 + len(body)) + body


def gltf_damage(change):
    """A damage of the JSON part."""
    def damage(data, dice):
        gltf, binary = chunks(data)
        change(gltf, dice)
        return packed(gltf, binary)
    damage.__name__ = change.__name__
    return damage


def part_node(gltf, dice):
    return dice.choice([node for node in gltf["nodes"] if "mesh" in node])


@gltf_damage
def glb_renamed(gltf, dice):
    part_node(gltf, dice)["name"] = "ZZ9.1"


@gltf_damage
def glb_node_lost(gltf, dice):
    parents = [node for node in gltf["nodes"] if node.get("children")]
    children = dice.choice(parents)["children"]
    children.pop(dice.randrange(len(children)))


@gltf_damage
def glb_other_mesh(gltf, dice):
    node = part_node(gltf, dice)
    node["mesh"] = (node["mesh"] + 1) % len(gltf["meshes"])


@gltf_damage
def glb_no_mesh(gltf, dice):
    del part_node(gltf, dice)["mesh"]


@gltf_damage
def glb_scaled(gltf, dice):
    part_node(gltf, dice)["scale"] = [1000, 1000, 1000]


@gltf_damage
def glb_material(gltf, dice):
    primitive = dice.choice(gltf["meshes"])["primitives"][0]
    primitive["material"] = (primitive["material"] + 1) % len(gltf["materials"])


@gltf_damage
def glb_accessor_count(gltf, dice):
    dice.choice(gltf["accessors"])["count"] += 3000000


@gltf_damage
def glb_bounds(gltf, dice):
    dice.choice([one for one in gltf["accessors"] if "max" in one and one["type"] == "VEC3"])["max"][0] += 1


@gltf_damage
def glb_no_such_view(gltf, dice):
    dice.choice(gltf["accessors"])["bufferView"] = 99999


@gltf_damage
def glb_version(gltf, dice):
    gltf["asset"]["version"] = "9.0"


@gltf_damage
def glb_moved(gltf, dice):
    node = part_node(gltf, dice)
    at = node.get("translation", [0, 0, 0])
    node["translation"] = [at[0] + 0.01, at[1], at[2]]


def glb_turned(data, dice):
    gltf, binary = chunks(data)
    accessor = gltf["accessors"][dice.choice(gltf["meshes"])["primitives"][0]["indices"]]
    size = {5121: 1, 5123: 2, 5125: 4}[accessor["componentType"]]
    start = gltf["bufferViews"][accessor["bufferView"]].get("byteOffset", 0) + accessor.get("byteOffset", 0)
    out = bytearray(binary)
    for at in range(start, start + accessor["count"] * size, 3 * size):
        out[at:at + size], out[at + size:at + 2 * size] = out[at + size:at + 2 * size], out[at:at + size]
    return packed(gltf, bytes(out))


def glb_point_far(data, dice):
    gltf, binary = chunks(data)
    accessor = gltf["accessors"][dice.choice(gltf["meshes"])["primitives"][0]["attributes"]["POSITION"]]
    at = gltf["bufferViews"][accessor["bufferView"]].get("byteOffset", 0) + accessor.get("byteOffset", 0)
    return packed(gltf, binary[:at] + struct.pack("<f", 77.0) + binary[at + 4:])


def glb_not_a_number(data, dice):
    gltf, binary = chunks(data)
    accessor = gltf["accessors"][dice.choice(gltf["meshes"])["primitives"][0]["attributes"]["POSITION"]]
    at = gltf["bufferViews"][accessor["bufferView"]].get("byteOffset", 0) + accessor.get("byteOffset", 0)
    return packed(gltf, binary[:at] + struct.pack("<f", float("nan")) + binary[at + 4:])


def glb_truncated(data, dice):
    return data[:len(data) - 1000]


def glb_magic(data, dice):
    return b"glTX" + data[4:]


def glb_length(data, dice):
    return data[:8] + struct.pack("<I", len(data) + 4) + data[12:]


# ---------------------------------------------------------------- all of them

STEP = [text_damage(one) for one in (
    step_line_lost, step_face_left_out, step_dangling, step_wrong_kind, step_number_twice,
    step_truncated, step_no_end, step_metres, step_mark_changed, step_occurrence_lost, step_garbage,
    step_comma_lost, step_quote_lost, step_not_a_number, step_vertex_moved)]
for name, one in (("step_edge_turned", step_edge_turned), ("step_face_turned", step_face_turned),
                  ("step_radius", step_radius), ("step_cylinder", step_cylinder)):
    STEP.append(text_damage(one))
    STEP[-1].__name__ = name
STL = [stl_turned, stl_all_turned, stl_lost, stl_twice, stl_corner_moved, stl_not_a_number,
       stl_truncated, stl_count, stl_inches, stl_slightly_small, stl_empty, stl_no_facets]
DXF = [text_damage(one) for one in (
    dxf_truncated, dxf_no_end, dxf_open, dxf_entity_lost, dxf_entity_twice, dxf_moved, dxf_layer,
    dxf_not_a_number, dxf_text_for_number, dxf_inches, dxf_version, dxf_group_lost, dxf_scaled,
    dxf_section_renamed)]
GLB = [glb_renamed, glb_node_lost, glb_other_mesh, glb_no_mesh, glb_scaled, glb_material,
       glb_accessor_count, glb_bounds, glb_no_such_view, glb_version, glb_moved, glb_turned,
       glb_point_far, glb_not_a_number, glb_truncated, glb_magic, glb_length]
