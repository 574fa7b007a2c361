#!/usr/bin/python3
"""The order of the rooms, read from the includes.

A room is a folder of sources. ROOMS lists them from the bottom up with what each may use: rooms above
it in this list, by name; a name stands for the rooms inside it too. Fails on
  - an include that the list does not allow (an arrow up, or one nobody planned),
  - a circle between units (a header and its source are one unit),
  - a source outside every room, or a room without sources,
  - leave to use a room that is not used,
  - a file of more than 500 lines, a room of more than 15 files without rooms inside it.

    layers.py             checks this tree
    layers.py --planted   plants one fault of each kind in a copy and fails unless each is found
    layers.py --picture   prints the rooms and what they use
"""
import collections
import os
import re
import shutil
import subprocess
import sys
import tempfile

MOST_LINES = 500
MOST_FILES = 15

ROOMS = {
    "params/reading": [],
    "params/spec": ["params/reading"],
    "params/catalogue": ["params/reading", "params/spec"],
    "params/table/obstacles": ["params/reading", "params/spec"],
    "params/table/as_built": ["params/reading", "params/spec"],
    "params/table": ["params/reading", "params/spec", "params/catalogue", "params/table/obstacles",
        "params/table/as_built"],
    "params/shelf": ["params/reading"],
    "params": ["params/reading", "params/spec", "params/table/obstacles", "params/table/as_built", "params/table", "params/shelf"],
    "generator/geometry": [],
    "generator/geometry/moving": ["generator/geometry"],
    "generator/geometry/mesh": ["generator/geometry", "generator/geometry/moving"],
    "generator/layout/travel": ["generator/geometry"],
    "generator/layout/figures": ["params/spec", "params/catalogue", "generator/geometry", "generator/layout/travel"],
    "generator/linear": [],
    "generator/layout/laying": ["generator/linear"],
    "generator/layout/ground": ["params/catalogue", "generator/geometry", "generator/layout/travel",
        "generator/layout/figures", "generator/layout/laying"],
    "generator/layout": ["params/spec", "params/table", "generator/geometry", "generator/layout/travel",
        "generator/layout/figures", "generator/layout/ground"],
    "generator/occt": ["generator/geometry"],
    "generator/occt/step": ["generator/geometry"],
    "generator/occt/step/translator": ["generator/geometry", "generator/occt/step"],
    "generator/occt/solids": ["params/spec", "generator/geometry", "generator/occt", "generator/layout/travel",
        "generator/layout/figures"],
    "generator/surroundings": ["params/spec", "params/shelf", "generator/geometry",
        "generator/geometry/mesh", "generator/geometry/moving", "generator/occt", "generator/occt/step"],
    "generator/model": ["params/spec", "params/catalogue", "params/table", "generator/geometry",
        "generator/geometry/moving", "generator/geometry/mesh", "generator/layout/travel",
        "generator/layout/figures", "generator/occt", "generator/occt/solids"],
    "generator/model/parts": ["params/catalogue", "generator/geometry", "generator/geometry/mesh",
        "generator/surroundings", "generator/layout/figures",
        "generator/layout/ground", "generator/occt/solids", "generator/model"],
    "generator/model/parts/ropes": ["params/catalogue", "generator/geometry", "generator/layout/figures",
        "generator/layout/ground", "generator/occt", "generator/occt/solids", "generator/model",
        "generator/model/parts"],
    "generator/model/shown": ["generator/geometry/moving", "generator/model"],
    "generator/model/swept": ["generator/geometry", "generator/geometry/mesh", "generator/occt",
        "generator/occt/solids", "generator/model"],
    "generator/shelf": ["params/table", "generator/geometry", "generator/layout/figures",
        "generator/layout", "generator/model"],
    "generator/clash/report": ["generator/geometry/moving", "generator/model"],
    "generator/clash/placed": ["generator/geometry", "generator/geometry/moving",
        "generator/geometry/mesh", "generator/occt", "generator/model"],
    "generator/clash/proof": ["generator/geometry", "generator/layout/figures", "generator/model",
        "generator/clash/placed"],
    "generator/clash/findings": ["generator/geometry", "generator/occt", "generator/clash/report",
        "generator/clash/placed", "generator/clash/proof"],
    "generator/clash/contacts": ["generator/geometry", "generator/model", "generator/clash/report",
        "generator/clash/placed",
        "generator/clash/proof", "generator/clash/findings"],
    "generator/clash": ["generator/geometry", "generator/clash/report", "generator/clash/placed",
        "generator/clash/proof", "generator/clash/findings", "generator/clash/contacts"],
    "generator/shop/welds": ["params/catalogue", "generator/geometry", "generator/layout/figures",
        "generator/model"],
    "generator/loads/statics": ["generator/layout/travel", "generator/model"],
    "generator/loads/wind": ["params/spec", "params/catalogue"],
    "generator/loads/frame": ["params/spec", "params/catalogue", "generator/geometry", "generator/layout/figures",
        "generator/layout/ground", "generator/model"],
    "generator/loads/checks": ["params/catalogue", "generator/geometry", "generator/layout/figures",
        "generator/layout/ground", "generator/model", "generator/loads/statics", "generator/loads/frame"],
    "generator/loads/details": ["params/catalogue", "generator/geometry", "generator/layout/figures",
        "generator/layout/ground", "generator/model", "generator/shop/welds",
        "generator/loads/wind", "generator/loads/frame"],
    "generator/loads": ["params/catalogue", "generator/geometry", "generator/layout/figures",
        "generator/model", "generator/loads/statics", "generator/loads/wind",
        "generator/loads/frame", "generator/loads/checks", "generator/loads/details"],
    "generator/shop/flat": ["params/catalogue", "generator/geometry", "generator/occt", "generator/model"],
    "generator/shop/wrap": ["params/spec", "generator/geometry", "generator/layout/figures",
        "generator/occt", "generator/model"],
    "generator/shop/stock": ["generator/geometry", "generator/model", "generator/shop/flat"],
    "generator/shop/packing": ["generator/model"],
    "generator/shop": ["params/spec", "params/catalogue", "params/table", "generator/geometry",
        "generator/geometry/mesh", "generator/layout/figures", "generator/layout/ground",
        "generator/occt", "generator/occt/solids",
        "generator/model", "generator/model/shown", "generator/clash/report", "generator/loads",
        "generator/loads/details", "generator/shop/flat",
        "generator/shop/stock", "generator/shop/welds"],
    "generator/compare/cost": ["params/catalogue", "generator/layout/figures", "generator/model"],
    "generator/compare": ["params/reading", "params/spec", "params/catalogue",
        "params", "generator/geometry", "generator/layout/travel", "generator/layout/figures",
        "generator/layout/ground", "generator/layout", "generator/loads", "generator/compare/cost"],
    "generator/verdict": ["params/catalogue", "params/table", "generator/geometry", "generator/layout/figures",
        "generator/layout/ground", "generator/model", "generator/clash/report", "generator/loads",
        "generator/shop/stock", "generator/shop"],
    "generator/quote": ["params/reading", "generator/geometry", "generator/layout",
        "generator/model", "generator/shop", "generator/compare"],
    "generator/installing": ["generator/layout/ground", "generator/model", "generator/clash/placed",
        "generator/clash/proof", "generator/occt", "generator/shop"],
    "generator/handover": ["generator/geometry", "generator/shop", "generator/verdict"],
    "generator/as_built/built": ["params/spec", "params/table/as_built", "generator/geometry",
        "generator/layout/figures", "generator/layout/ground", "generator/layout", "generator/model"],
    "generator/as_built": ["generator/linear", "generator/geometry", "generator/layout/figures",
        "generator/layout/ground", "generator/clash/report", "generator/clash/placed", "generator/verdict",
        "generator/clash/proof", "generator/as_built/built"],
    "generator/cures": ["params/reading", "params/catalogue", "params/table", "params", "generator/geometry",
        "generator/layout/figures", "generator/layout", "generator/model", "generator/clash/report",
        "generator/clash/proof", "generator/loads", "generator/compare", "generator/verdict"],
    "generator/cures/shelf": ["generator/geometry", "generator/layout", "generator/shelf",
        "generator/cures"],
    "exporters/bytes": ["params/reading"],
    "exporters/cad": [],
    "exporters/cad/dxf": ["params/reading", "generator/geometry", "generator/shop",
        "exporters/bytes"],
    "exporters/cad/step/measured": ["generator/occt", "exporters/bytes"],
    "exporters/cad/step": ["exporters/cad/step/measured", "params/reading", "generator/geometry", "generator/occt",
        "generator/model", "generator/clash/report", "generator/shop", "exporters/bytes", "exporters/cad"],
    "exporters/cad/swept": ["generator/occt", "generator/model", "generator/model/swept", "generator/shop",
        "exporters/bytes", "exporters/cad", "exporters/cad/step"],
    "exporters/cad/mesh": ["generator/geometry", "generator/geometry/mesh", "generator/model",
        "exporters/bytes", "exporters/cad", "exporters/cad/step"],
    "exporters/cad/bcf": ["params/reading", "params/spec", "generator/geometry", "generator/occt", "generator/model",
        "generator/clash/report", "exporters/bytes", "exporters/cad/step"],
    "exporters/cad/ifc": ["generator/geometry", "generator/geometry/mesh", "generator/occt", "generator/model",
        "generator/model/swept", "generator/shop", "exporters/bytes", "exporters/cad", "exporters/cad/bcf",
        "exporters/cad/step"],
    "exporters/paper/sheet": ["params/reading", "params/spec", "generator/geometry/mesh",
        "exporters/bytes"],
    "exporters/paper/backends": ["exporters/bytes", "exporters/cad/dxf", "exporters/paper/sheet"],
    "exporters/paper/views/solids": ["generator/geometry", "generator/geometry/mesh",
        "exporters/paper/sheet"],
    "exporters/paper/views/hidden": ["exporters/paper/views/solids"],
    "exporters/paper/views": ["generator/geometry", "exporters/bytes", "exporters/paper/sheet",
        "exporters/paper/views/solids", "exporters/paper/views/hidden"],
    "exporters/paper/blocks": ["generator/geometry", "generator/occt", "generator/model",
        "exporters/bytes", "exporters/paper/sheet", "exporters/paper/views"],
    "exporters/paper/assemblies/welds": ["generator/geometry", "generator/shop/welds",
        "exporters/paper/views/solids", "exporters/paper/blocks"],
    "exporters/paper/assemblies": ["generator/geometry", "generator/shop",
        "exporters/paper/sheet", "exporters/paper/blocks", "exporters/paper/assemblies/welds"],
    "exporters/paper/exploded": ["generator/shop/welds", "exporters/paper/sheet",
        "exporters/paper/views", "exporters/paper/blocks"],
    "exporters/paper/set_out": ["generator/geometry", "generator/layout/ground", "generator/shop",
        "exporters/paper/sheet", "exporters/paper/blocks"],
    "exporters/paper/pictures": ["generator/geometry", "generator/geometry/mesh", "generator/model",
        "generator/occt", "generator/clash/report",
        "generator/shop/stock", "exporters/bytes", "exporters/cad", "exporters/paper/sheet",
        "exporters/paper/views/solids", "exporters/paper/blocks"],
    "exporters/paper/sheets": ["generator/loads", "generator/geometry", "generator/layout/figures", "generator/layout",
        "generator/model", "generator/shop", "exporters/paper/sheet", "exporters/paper/assemblies", "exporters/paper/assemblies/welds", "exporters/paper/exploded", "exporters/paper/set_out", "exporters/paper/blocks"],
    "exporters/paper/shelf": ["params/table", "generator/geometry", "generator/shelf",
        "exporters/paper/sheet", "exporters/paper/blocks", "exporters/paper/sheets"],
    "exporters/paper/cards": ["generator/geometry", "generator/occt", "generator/shop",
        "exporters/paper/sheet", "exporters/paper/views", "exporters/paper/blocks",
        "exporters/paper/sheets"],
    "exporters/paper/wrap": ["generator/geometry", "generator/shop/wrap", "exporters/bytes",
        "exporters/cad/dxf", "exporters/paper/backends"],
    "exporters/lists/text": [],
    "exporters/lists": ["params", "generator/geometry", "generator/shelf", "generator/as_built", "generator/verdict",
        "generator/layout", "generator/loads", "generator/installing", "generator/shop",
        "exporters/bytes"],
    "exporters/lists/report/built": ["generator/as_built", "exporters/bytes", "exporters/lists/text"],
    "exporters/lists/report": ["params/reading", "params/spec", "generator/geometry", "generator/as_built", "exporters/lists/report/built",
        "generator/layout", "generator/clash/report", "generator/loads",
        "generator/shop", "generator/verdict", "exporters/bytes", "exporters/lists/text"],
    "exporters/lists/compare": ["params/reading", "params", "params/table", "generator/geometry", "generator/compare",
        "generator/verdict", "exporters/bytes", "exporters/lists/text"],
    "exporters/page/review": [],
    "exporters/page": ["params/catalogue", "generator/geometry", "generator/model",
        "generator/model/shown", "generator/clash/report", "generator/clash", "generator/loads",
        "generator/shop", "generator/compare", "generator/verdict", "generator/cures",
        "exporters/bytes", "exporters/cad/bcf", "exporters/paper/backends", "exporters/paper/sheets", "exporters/lists/report",
        "exporters/page/review"],
    "exporters/office/words": ["exporters/bytes"],
    "exporters/office": ["exporters/office/words", "params/spec", "generator/geometry", "generator/model", "generator/installing",
        "generator/loads", "exporters/paper/pictures",
        "generator/clash/report", "generator/shop",
        "generator/compare", "generator/verdict", "generator/quote", "generator/handover", "generator/cures", "exporters/bytes",
        "exporters/paper/views/solids"],
    "exporters/as_built": ["params/spec", "generator/geometry", "generator/layout", "generator/as_built/built",
        "generator/as_built",
        "exporters/bytes", "exporters/office"],
    "exporters/folder/placing": [],
    "exporters/folder": ["params", "exporters/folder/placing", "generator/geometry", "generator/model", "generator/clash",
        "generator/shop", "generator/shop/wrap", "generator/verdict", "exporters/bytes",
        "exporters/cad/dxf", "exporters/cad/step", "generator/installing",
        "exporters/cad/mesh", "exporters/cad/bcf", "exporters/cad/ifc", "exporters/cad/swept", "exporters/paper/sheet",
        "exporters/paper/backends", "exporters/paper/cards", "exporters/paper/pictures", "exporters/paper/sheets",
        "exporters/paper/wrap", "exporters/lists", "exporters/lists/report", "exporters/page",
        "exporters/office", "exporters/as_built"],
    "exporters/desk/http": [],
    "exporters/desk/document": ["params/reading", "params/table", "params", "exporters/bytes", "exporters/folder"],
    "exporters/desk/page": ["exporters/page/review"],
    "exporters/commands/shell": ["params/table", "params"],
    "exporters/commands/input": ["generator/surroundings", "params/reading", "params", "generator/geometry", "generator/layout",
        "generator/model", "generator/clash/report", "generator/shop", "generator/compare",
        "generator/verdict", "generator/as_built", "generator/cures", "exporters/bytes", "exporters/cad/bcf", "exporters/lists/report",
        "exporters/folder", "exporters/commands/shell"],
    "exporters/desk": ["params/reading", "params/table", "params", "generator/geometry", "generator/loads",
        "generator/compare", "generator/verdict", "generator/cures", "exporters/bytes", "exporters/cad/mesh",
        "exporters/cad/bcf", "exporters/lists", "exporters/lists/report", "exporters/lists/compare", "exporters/page",
        "exporters/folder", "exporters/desk/http", "exporters/desk/document", "exporters/desk/page",
        "exporters/commands/input"],
    "exporters/commands": ["params/reading", "params", "generator/geometry",
        "generator/layout/figures", "generator/layout", "generator/compare",
        "generator/verdict", "generator/cures", "generator/cures/shelf", "exporters/bytes",
        "exporters/lists/report", "exporters/lists/compare",
        "exporters/lists", "exporters/paper/backends",
        "exporters/paper/shelf", "exporters/folder", "exporters/commands/shell",
        "exporters/commands/input", "exporters/desk"],
}

SOURCE = re.compile(r"\.(h|cpp)(\.in)?$")
COUNTED = re.compile(r"\.(h|cpp|in|js|css|html|py|mjs)$")
FOLDERS = ("params", "generator", "exporters")


def unit_of(path):
    return re.sub(r"\.(h|cpp)(\.in)?$", "", path)


def tracked(root):
    """Files of the tree; those git knows, where it is a checkout."""
    listed = subprocess.run(["git", "ls-files", "-co", "--exclude-standard"], cwd=root,
                            capture_output=True, text=True)
    names = listed.stdout.splitlines()
    if listed.returncode != 0 or not names:
        names = [os.path.relpath(os.path.join(at, name), root)
                 for at, _, files in os.walk(root) for name in files]
    return sorted(name for name in names if os.path.isfile(os.path.join(root, name)))


def text_of(root, path):
    with open(os.path.join(root, path), encoding="utf-8", errors="replace") as file:
        return file.read()


def allowed(user, used):
    """May room `user` use room `used`? A name in the list stands for the rooms inside it too."""
    return any(used == name or used.startswith(name + "/") for name in ROOMS[user])


def circles(arrows):
    """Tarjan's strongly connected components of more than one unit."""
    index, low, stack, found = {}, {}, [], []

    def visit(unit):
        index[unit] = low[unit] = len(index)
        stack.append(unit)
        for to in sorted(arrows.get(unit, ())):
            if to not in index:
                visit(to)
            if to in stack:
                low[unit] = min(low[unit], low[to])
        if low[unit] == index[unit]:
            members = []
            while not members or members[-1] != unit:
                members.append(stack.pop())
            if len(members) > 1:
                found.append(sorted(members))

    sys.setrecursionlimit(10000)
    for unit in sorted(arrows):
        if unit not in index:
            visit(unit)
    return found


def problems_of(root):
    files = tracked(root)
    problems = []
    sources = [f for f in files if SOURCE.search(f) and f.split("/")[0] in FOLDERS]
    rooms = {f: os.path.dirname(f) for f in sources}
    order = list(ROOMS)
    for room in order:
        for name in ROOMS[room]:
            if name not in ROOMS:
                problems.append(f"{room}: may use {name}, which is no room")
            elif order.index(name) >= order.index(room):
                problems.append(f"{room}: may use {name}, which does not stand below it")
        if room not in rooms.values():
            problems.append(f"{room}: a room without sources")
    used, units = collections.defaultdict(set), collections.defaultdict(set)
    for path in sources:
        room = rooms[path]
        if room not in ROOMS:
            problems.append(f"{path}: outside every room")
            continue
        for name in re.findall(r'^#include "([^"]+)"', text_of(root, path), re.M):
            target = next((name + end for end in ("", ".in") if name + end in rooms), None)
            if target is None:
                problems.append(f"{path}: includes {name}, which is not there")
                continue
            if unit_of(target) != unit_of(path):
                units[unit_of(path)].add(unit_of(target))
            if rooms[target] == room or rooms[target] not in ROOMS:
                continue
            used[room].add(rooms[target])
            if not allowed(room, rooms[target]):
                problems.append(f"{path}: {room} may not use {rooms[target]} ({name})")
    for room, names in ROOMS.items():
        for name in names:
            if not any(one == name or one.startswith(name + "/") for one in used[room]):
                problems.append(f"{room}: may use {name}, and does not")
    for members in circles(units):
        problems.append("a circle: " + ", ".join(members))
    return problems + sizes(root, files)


def sizes(root, files):
    problems = []
    inside = collections.Counter()
    folders = set()
    for path in files:
        if not COUNTED.search(path) or path.split("/")[0] not in FOLDERS + ("tests", "main.cpp"):
            continue
        lines = text_of(root, path).count("\n")
        if lines > MOST_LINES:
            problems.append(f"{path}: {lines} lines, {MOST_LINES} at most")
        folder = os.path.dirname(path)
        inside[folder] += 1
        folders.add(folder)
    for folder, count in sorted(inside.items()):
        has_rooms = any(other.startswith(folder + "/") for other in folders)
        if count > MOST_FILES and not has_rooms:
            problems.append(f"{folder}: {count} files and no rooms inside, {MOST_FILES} at most")
    return problems


def planted():
    """Each kind of fault in a copy of the tree; the names of those that were not found."""
    here = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    order = list(ROOMS)
    low, high = order[0], order[-1]
    sources = [f for f in tracked(here) if f.endswith(".h")]
    low_header = next(f for f in sources if os.path.dirname(f) == low)
    high_header = next(f for f in sources if os.path.dirname(f) == high)
    faults = {
        "an arrow up": {f"{low}/planted.h": f'#include "{high_header}"\n'},
        "a circle": {f"{low}/planted_a.h": f'#include "{low}/planted_b.h"\n',
                     f"{low}/planted_b.h": f'#include "{low}/planted_a.h"\n'},
        "a file outside its room": {"generator/no_room/planted.h": f'#include "{low_header}"\n'},
        "a long file": {f"{low}/planted.h": "\n" * (MOST_LINES + 1)},
        "a crowded room": {f"generator/no_room/planted_{i}.h": "" for i in range(MOST_FILES + 1)},
    }
    words = {"an arrow up": "may not use", "a circle": "a circle", "a long file": "lines",
             "a file outside its room": "outside every room", "a crowded room": "files and no rooms"}
    missed = []
    for name, files in faults.items():
        with tempfile.TemporaryDirectory() as copy:
            for folder in FOLDERS:
                shutil.copytree(os.path.join(here, folder), os.path.join(copy, folder))
            for path, text in files.items():
                os.makedirs(os.path.dirname(os.path.join(copy, path)), exist_ok=True)
                with open(os.path.join(copy, path), "w", encoding="utf-8") as file:
                    file.write(text)
            found = [one for one in problems_of(copy) if "planted" in one or "no_room" in one]
            if not any(words[name] in one for one in found):
                missed.append(name)
    return missed


def main():
    if "--picture" in sys.argv:
        for room, names in ROOMS.items():
            print(f"{room}: {', '.join(names) or 'nothing'}")
        return 0
    if "--planted" in sys.argv:
        missed = planted()
        for name in missed:
            print(f"not found: {name}")
        print("every planted fault was found" if not missed else "the check is blind")
        return 1 if missed else 0
    here = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    problems = problems_of(here)
    for one in problems:
        print(one)
    print(f"{len(ROOMS)} rooms, {len(problems)} problems")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
