"""Finer ways of damaging our STEP, STL, DXF and GLB files than those of damages.py: each leaves a
file that most programs open without a word, and that would cost a day's steel.
"""

import re
import struct

from damages import (any_facet, chunks, entities, facets, gltf_damage, of_entity, packed,
                     part_node, replace_one, text_damage)


# ---------------------------------------------------------------- STEP

NUMBER = r"[-+0-9.Ee]+"


def step_head_lost(text, dice):
    return text[text.index("HEADER;"):]


def step_scaled(text, dice):
    """A thousandth too large: heat, or somebody's unit."""
    return re.sub(rf"(CARTESIAN_POINT\('',\()({NUMBER}),({NUMBER}),({NUMBER})",
                  lambda m: m.group(1) + ",".join(f"{1.001 * float(m.group(i)):.9f}" for i in (2, 3, 4)),
                  text)


def step_hole_lost(text, dice):
    """A face with a hole is left without it; the hole's wall stays."""
    return replace_one(text, dice, r"(?<=ADVANCED_FACE\('',\()#\d+(,#\d+)+(?=\))",
                       lambda match: match.group().split(",")[0])


def step_solid_lost(text, dice):
    return replace_one(text, dice, r"#\d+ = MANIFOLD_SOLID_BREP\([^;]*;\n", lambda match: "")


def step_open_shell(text, dice):
    return replace_one(text, dice, r"CLOSED_SHELL\(", lambda match: "OPEN_SHELL(")


def step_loop_edge_lost(text, dice):
    return replace_one(text, dice, r"(?<=EDGE_LOOP\('',\()#\d+,", lambda match: "")


def step_other_vertex(text, dice):
    """An edge that ends where it begins."""
    return replace_one(text, dice, r"EDGE_CURVE\('',(#\d+),(?!\1,)(#\d+),#\d+,\.[TF]\.\)",
                       lambda m: m.group().replace(m.group(2), m.group(1)))


def step_instance_moved(text, dice):
    """One part of the assembly stands a millimetre off."""
    place = dice.choice(re.findall(r"ITEM_DEFINED_TRANSFORMATION\('','',#\d+,#(\d+)\)", text))
    point = re.search(rf"#{place} = AXIS2_PLACEMENT_3D\('',#(\d+)", text).group(1)
    return re.sub(rf"(#{point} = CARTESIAN_POINT\('',\()({NUMBER})",
                  lambda m: m.group(1) + f"{float(m.group(2)) + 1:.6f}", text, count=1)


def step_instances_swapped(text, dice):
    """Two occurrences of different parts change their products."""
    uses = list(re.finditer(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('[A-Z]{2}[^;]*,(#\d+),\$\)", text))
    one = dice.choice(uses)
    other = dice.choice([use for use in uses if use.group(1) != one.group(1)])
    first, second = sorted((one, other), key=lambda use: use.start())
    return (text[:first.start(1)] + second.group(1) + text[first.end(1):second.start(1)] +
            first.group(1) + text[second.end(1):])


def step_plane_tilted(text, dice):
    """The normal of a plane is another plane's."""
    planes = re.findall(r"PLANE\('',#(\d+)\)", text)
    place = dice.choice(planes)
    axis = re.search(rf"#{place} = AXIS2_PLACEMENT_3D\('',#\d+,#(\d+)", text).group(1)
    return re.sub(rf"(#{axis} = DIRECTION\('',\()({NUMBER}),({NUMBER}),({NUMBER})",
                  lambda m: m.group(1) + ",".join(f"{value:.6f}" for value in (0.6, 0.48, 0.64)), text,
                  count=1)


def step_bytes(text, dice):
    at = dice.randrange(len(text) // 4, 3 * len(text) // 4)
    return text[:at] + "\0\0\0\0\0\0\0\0" + text[at:]


def step_second_file(text, dice):
    """A copy that was appended to, not replaced."""
    return text + text[:dice.randrange(len(text) // 2)]


def step_degrees(text, dice):
    return text.replace("PLANE_ANGLE_UNIT() SI_UNIT($,.RADIAN.)", "PLANE_ANGLE_UNIT() SI_UNIT($,.HERTZ.)")


def step_circle_centre(text, dice):
    place = dice.choice(re.findall(r"= CIRCLE\('',#(\d+)", text))
    point = re.search(rf"#{place} = AXIS2_PLACEMENT_3D\('',#(\d+)", text).group(1)
    return re.sub(rf"(#{point} = CARTESIAN_POINT\('',\()({NUMBER}),({NUMBER}),({NUMBER})",
                  lambda m: m.group(1) + ",".join(f"{float(m.group(i)) + 0.5:.6f}" for i in (2, 3, 4)),
                  text, count=1)


# ---------------------------------------------------------------- STL (binary)

def each_corner(data, change):
    """Every corner (x, y, z) changed."""
    out = bytearray(data)
    for index in range(facets(data)):
        for corner in range(3):
            at = 84 + 50 * index + 12 + 12 * corner
            struct.pack_into("<3f", out, at, *change(*struct.unpack_from("<3f", data, at)))
    return bytes(out)


def stl_moved(data, dice):
    return each_corner(data, lambda x, y, z: (x, y + 20, z))


def stl_stretched(data, dice):
    return each_corner(data, lambda x, y, z: (x * 1.001, y, z))


def stl_pressed_flat(data, dice):
    return each_corner(data, lambda x, y, z: (x, 0, z))


def stl_mirrored(data, dice):
    """A left part for a right one: as large, as closed, and useless."""
    high = max(struct.unpack_from("<f", data, 84 + 50 * index + 12 + 12 * corner)[0]
               for index in range(facets(data)) for corner in range(3))
    low = min(struct.unpack_from("<f", data, 84 + 50 * index + 12 + 12 * corner)[0]
              for index in range(facets(data)) for corner in range(3))
    data = each_corner(data, lambda x, y, z: (low + high - x, y, z))
    for index in range(facets(data)):
        at = 84 + 50 * index + 12
        data = data[:at] + data[at + 12:at + 24] + data[at:at + 12] + data[at + 24:]
    return data


def stl_facet_closed(data, dice):
    """Two corners of a facet are one."""
    at = any_facet(data, dice) + 12
    return data[:at + 12] + data[at:at + 12] + data[at + 24:]


def stl_infinite(data, dice):
    at = any_facet(data, dice) + 12
    return data[:at] + struct.pack("<f", float("inf")) + data[at + 4:]


def stl_second_body(data, dice):
    """The part twice, a metre apart, in one file."""
    other = each_corner(data, lambda x, y, z: (x, y, z + 1000))
    return data[:80] + struct.pack("<I", 2 * facets(data)) + data[84:] + other[84:]


def stl_bit_turned(data, dice):
    """One bit of an exponent."""
    at = any_facet(data, dice) + 12 + 4 * dice.randrange(9) + 3
    return data[:at] + bytes([data[at] ^ 0x04]) + data[at + 1:]


# ---------------------------------------------------------------- DXF

def a_polyline(text, dice):
    return dice.choice([(start, end) for start, end in entities(text) if "LWPOLYLINE" in text[start:end]])


def dxf_corner_lost(text, dice):
    """A polyline without its second point, and counted so."""
    start, end = a_polyline(text, dice)
    points = list(re.finditer(r"\n *10\r?\n[^\n]*\n *20\r?\n[^\n]*(?=\n)", text[start:end]))
    lost = points[1]
    body = text[start:start + lost.start()] + text[start + lost.end():end]
    body = re.sub(r"(\n *90\r?\n *)(\d+)", lambda m: m.group(1) + str(int(m.group(2)) - 1), body, count=1)
    return text[:start] + body + text[end:]


def dxf_count_wrong(text, dice):
    return re.sub(r"(LWPOLYLINE(?:(?!\n *0\r?\n)[^\0])*?\n *90\r?\n *)(\d+)",
                  lambda m: m.group(1) + str(int(m.group(2)) + 3), text, count=1)


def dxf_radius(text, dice):
    """A hole of another size, or where there is none a stretched outline."""
    start = text.index("ENTITIES")
    if re.search(r"CIRCLE", text[start:]):
        return text[:start] + re.sub(r"(\n *40\r?\n)([-0-9.E+]+)",
                                     lambda m: m.group(1) + str(float(m.group(2)) + 0.5), text[start:], count=1)
    return dxf_stretched(text, dice)


def dxf_stretched(text, dice):
    start = text.index("ENTITIES")
    return text[:start] + re.sub(r"(\n *20\r?\n)([-0-9.E+]+)",
                                 lambda m: m.group(1) + f"{1.01 * float(m.group(2)):.9f}", text[start:])


def dxf_bulge(text, dice):
    """A straight side bends outwards."""
    start, end = a_polyline(text, dice)
    return text[:start] + re.sub(r"(\n *20\r?\n[^\n]*\n)(?! *42)", r"\g<1> 42\n0.3\n",
                                 text[start:end], count=1) + text[end:]


def dxf_other_kind(text, dice):
    start = text.index("ENTITIES")
    return text[:start] + re.sub("LWPOLYLINE", "LWPOLYLIN", text[start:], count=1)


def dxf_no_tables(text, dice):
    start = text.index("TABLES")
    return text[:start] + text[text.index("ENDSEC", start):]


def dxf_outline_crossed(text, dice):
    """Two corners change places: the outline crosses itself."""
    start, end = a_polyline(text, dice)
    points = list(re.finditer(r"\n *10\r?\n[^\n]*\n *20\r?\n[^\n]*(?=\n)", text[start:end]))
    one, other = points[0], points[1]
    body = text[start:end]
    body = body[:one.start()] + other.group() + body[one.end():other.start()] + one.group() + body[other.end():]
    return text[:start] + body + text[end:]


# ---------------------------------------------------------------- GLB

@gltf_damage
def glb_mirrored(gltf, dice):
    part_node(gltf, dice)["scale"] = [-1, 1, 1]


@gltf_damage
def glb_rotated(gltf, dice):
    part_node(gltf, dice)["rotation"] = [0, 0.7071067811865476, 0, 0.7071067811865476]


@gltf_damage
def glb_millimetres(gltf, dice):
    """The whole gate a thousand times too large."""
    gltf["nodes"][gltf["scenes"][0]["nodes"][0]]["scale"] = [1000, 1000, 1000]


@gltf_damage
def glb_lines(gltf, dice):
    dice.choice(gltf["meshes"])["primitives"][0]["mode"] = 1


@gltf_damage
def glb_needs_more(gltf, dice):
    gltf["extensionsRequired"] = ["VENDOR_not_there"]


@gltf_damage
def glb_no_scene(gltf, dice):
    del gltf["scenes"], gltf["scene"]


@gltf_damage
def glb_own_parent(gltf, dice):
    gltf["nodes"][1].setdefault("children", []).append(0)


@gltf_damage
def glb_panels_swapped(gltf, dice):
    """Parts hang on the panel that they are not of, where they stand."""
    panels = [node for node in gltf["nodes"] if node.get("name") in ("P0", "P1")]
    panels[0]["children"], panels[1]["children"] = panels[1]["children"], panels[0]["children"]


@gltf_damage
def glb_shorter_buffer(gltf, dice):
    gltf["buffers"][0]["byteLength"] -= 1000


@gltf_damage
def glb_twice(gltf, dice):
    """A part that stands there twice."""
    parent = dice.choice([node for node in gltf["nodes"] if node.get("children")])
    node = dice.choice(parent["children"])
    gltf["nodes"].append(dict(gltf["nodes"][node]))
    parent["children"].append(len(gltf["nodes"]) - 1)


def glb_index_far(data, dice):
    gltf, binary = chunks(data)
    accessor = gltf["accessors"][dice.choice(gltf["meshes"])["primitives"][0]["indices"]]
    size = {5121: 1, 5123: 2, 5125: 4}[accessor["componentType"]]
    at = gltf["bufferViews"][accessor["bufferView"]].get("byteOffset", 0) + accessor.get("byteOffset", 0)
    return packed(gltf, binary[:at] + b"\xfe" * size + binary[at + size:])


# ---------------------------------------------------------------- all of them

STEP = [text_damage(one) for one in (
    step_head_lost, step_scaled, step_hole_lost, step_solid_lost, step_open_shell, step_loop_edge_lost,
    step_other_vertex, step_instance_moved, step_instances_swapped, step_plane_tilted, step_bytes,
    step_second_file, step_degrees, step_circle_centre)]
for name, one in (("step_shell_of_no_kind", of_entity("MANIFOLD_SOLID_BREP", r"#\d+(?=\))", "#5")),
                  ("step_sense", of_entity("EDGE_CURVE", r"\.([TF])\.\)",
                                           lambda m: ".F.)" if m.group(1) == "T" else ".T.)"))):
    STEP.append(text_damage(one))
    STEP[-1].__name__ = name
STL = [stl_moved, stl_stretched, stl_pressed_flat, stl_mirrored, stl_facet_closed, stl_infinite,
       stl_second_body, stl_bit_turned]
DXF = [text_damage(one) for one in (
    dxf_corner_lost, dxf_count_wrong, dxf_radius, dxf_stretched, dxf_bulge, dxf_other_kind,
    dxf_no_tables, dxf_outline_crossed)]
GLB = [glb_mirrored, glb_rotated, glb_millimetres, glb_lines, glb_needs_more, glb_no_scene,
       glb_own_parent, glb_panels_swapped, glb_shorter_buffer, glb_twice, glb_index_far]
