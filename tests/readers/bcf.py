#!/usr/bin/env python3
"""bcf.py FILE [--json]: FILE is a sound BCF 3.0 file.

Checks the zip (sums, names), every XML file against the grammar below, and what the grammar cannot
say: identifiers, references between files, cameras. Prints one line per problem and a summary, or
with --json what it read; exit code 1 on any problem. Shares nothing with the writer.

GRAMMAR: the sequences of the schemas of release 3.0 (markup.xsd, visinfo.xsd, extensions.xsd,
project.xsd and version.xsd of buildingSMART's BCF-XML), in the schemas' order, for the elements a
file of clashes may hold. Any other element is a problem.
"""

import json
import math
import re
import sys
import xml.etree.ElementTree as ElementTree
import zipfile

ONE, MAYBE, MANY = (1, 1), (0, 1), (0, 10**9)
GUID = re.compile(r"[a-f0-9]{8}-[a-f0-9]{4}-[a-f0-9]{4}-[a-f0-9]{4}-[a-f0-9]{12}")
TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)?")
IFC_DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"


def words(text):
    return bool(text.strip())


def number(text):
    return re.fullmatch(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", text) is not None


def ifc_guid(text):
    return len(text) == 22 and text[0] in "0123" and all(c in IFC_DIGITS for c in text)


POINT = [("X", ONE), ("Y", ONE), ("Z", ONE)]
# Element -> its children in order; elements not named here hold text, see TEXTS.
SEQUENCES = {
    "Version": [("DetailedVersion", MAYBE)],
    "ProjectInfo": [("Project", ONE)],
    "Project": [("Name", MAYBE)],
    "Extensions": [(name, MAYBE) for name in ("TopicTypes", "TopicStatuses", "Priorities",
                                              "TopicLabels", "Users", "SnippetTypes", "Stages")],
    "TopicTypes": [("TopicType", MANY)],
    "TopicStatuses": [("TopicStatus", MANY)],
    "Priorities": [("Priority", MANY)],
    "TopicLabels": [("TopicLabel", MANY)],
    "Users": [("User", MANY)],
    "SnippetTypes": [("SnippetType", MANY)],
    "Stages": [("Stage", MANY)],
    "Markup": [("Header", MAYBE), ("Topic", ONE)],
    "Topic": [("ReferenceLinks", MAYBE), ("Title", ONE), ("Priority", MAYBE), ("Index", MAYBE),
              ("Labels", MAYBE), ("CreationDate", ONE), ("CreationAuthor", ONE),
              ("ModifiedDate", MAYBE), ("ModifiedAuthor", MAYBE), ("DueDate", MAYBE),
              ("AssignedTo", MAYBE), ("Stage", MAYBE), ("Description", MAYBE),
              ("BimSnippet", MAYBE), ("DocumentReferences", MAYBE), ("RelatedTopics", MAYBE),
              ("Comments", MAYBE), ("Viewpoints", MAYBE)],
    "Labels": [("Label", MANY)],
    "Comments": [("Comment", MANY)],
    "Comment": [("Date", ONE), ("Author", ONE), ("Comment", MAYBE), ("Viewpoint", MAYBE),
                ("ModifiedDate", MAYBE), ("ModifiedAuthor", MAYBE)],
    "Viewpoints": [("ViewPoint", MANY)],
    "ViewPoint": [("Viewpoint", MAYBE), ("Snapshot", MAYBE), ("Index", MAYBE)],
    # A choice of the two cameras; that there is just one is checked apart.
    "VisualizationInfo": [("Components", MAYBE), ("OrthogonalCamera", MAYBE),
                          ("PerspectiveCamera", MAYBE), ("Lines", MAYBE),
                          ("ClippingPlanes", MAYBE), ("Bitmaps", MAYBE)],
    "Components": [("Selection", MAYBE), ("Visibility", MAYBE), ("Coloring", MAYBE)],
    "Selection": [("Component", MANY)],
    "Component": [("OriginatingSystem", MAYBE), ("AuthoringToolId", MAYBE)],
    "Visibility": [("ViewSetupHints", MAYBE), ("Exceptions", MAYBE)],
    "Exceptions": [("Component", MANY)],
    "PerspectiveCamera": [("CameraViewPoint", ONE), ("CameraDirection", ONE),
                          ("CameraUpVector", ONE), ("FieldOfView", ONE), ("AspectRatio", ONE)],
    "Lines": [("Line", MANY)],
    "Line": [("StartPoint", ONE), ("EndPoint", ONE)],
    "CameraViewPoint": POINT, "CameraDirection": POINT, "CameraUpVector": POINT,
    "StartPoint": POINT, "EndPoint": POINT,
}
TEXTS = {name: words for name in ("Name", "TopicType", "TopicStatus", "Priority", "TopicLabel",
                                  "User", "Title", "Label", "CreationAuthor", "Description",
                                  "Viewpoint", "Snapshot", "Author", "OriginatingSystem", "AuthoringToolId",
                                  "DetailedVersion")}
TEXTS.update({name: number for name in ("X", "Y", "Z", "FieldOfView", "AspectRatio")})
TEXTS["Date"] = TEXTS["CreationDate"] = lambda text: TIME.fullmatch(text) is not None
# Element -> attribute -> (required, test).
ATTRIBUTES = {
    "Version": {"VersionId": (True, lambda text: text == "3.0")},
    "Project": {"ProjectId": (True, words)},
    "Topic": {"Guid": (True, GUID.fullmatch), "ServerAssignedId": (False, words),
              "TopicType": (True, words), "TopicStatus": (True, words)},
    "ViewPoint": {"Guid": (True, GUID.fullmatch)},
    "Comment": {"Guid": (True, GUID.fullmatch)},
    "VisualizationInfo": {"Guid": (True, GUID.fullmatch)},
    "Component": {"IfcGuid": (False, ifc_guid)},
    "Visibility": {"DefaultVisibility": (False, lambda text: text in ("true", "false"))},
}


class Reader:
    def __init__(self, path):
        self.problems = []
        self.topics = []
        self.project = ""
        self.files = {}
        self.times = []
        try:
            with zipfile.ZipFile(path) as archive:
                self.read_archive(archive)
            self.read_all()
        except zipfile.BadZipFile as error:
            self.problem(path, f"is damaged: {error}")

    def read_archive(self, archive):
        names = archive.namelist()
        if len(set(names)) != len(names):
            self.problem(archive.filename, "holds a file twice")
        self.files = {name: archive.read(name) for name in names}  # compares their sums
        self.times = sorted({info.date_time for info in archive.infolist()})

    def problem(self, where, what):
        self.problems.append(f"{where}: {what}")

    def document(self, name, root):
        """The root element of a file that keeps to the grammar; an empty one otherwise."""
        if name not in self.files:
            self.problem(name, "is missing")
            return ElementTree.Element(root)
        try:
            tree = ElementTree.fromstring(self.files[name])
        except ElementTree.ParseError as error:
            self.problem(name, f"is no XML: {error}")
            return ElementTree.Element(root)
        if tree.tag != root:
            self.problem(name, f"begins with {tree.tag}, not {root}")
        self.check(tree, name)
        return tree

    def check(self, element, where):
        if element.tag == "Comment" and len(element) == 0:  # the text of the element of that name
            return
        self.check_attributes(element, where)
        if element.tag in TEXTS:
            if len(element) or not TEXTS[element.tag](element.text or ""):
                self.problem(where, f"{element.tag} holds {element.text!r}")
            return
        if element.tag not in SEQUENCES:
            self.problem(where, f"{element.tag} is unknown")
            return
        if (element.text or "").strip() or any((c.tail or "").strip() for c in element):
            self.problem(where, f"{element.tag} holds text")
        at = 0
        for name, (least, most) in SEQUENCES[element.tag]:
            start = at
            while at < len(element) and element[at].tag == name:
                at += 1
            if not least <= at - start <= most:
                self.problem(where, f"{element.tag} holds {at - start} of {name}")
        if at < len(element):
            self.problem(where, f"{element[at].tag} is out of place in {element.tag}")
        for child in element:
            self.check(child, where)

    def check_attributes(self, element, where):
        allowed = ATTRIBUTES.get(element.tag, {})
        for key, value in element.attrib.items():
            if key not in allowed or not allowed[key][1](value):
                self.problem(where, f'{element.tag} has {key}="{value}"')
        for key, (required, _) in allowed.items():
            if required and key not in element.attrib:
                self.problem(where, f"{element.tag} lacks {key}")

    def read_all(self):
        self.document("bcf.version", "Version")
        self.project = self.document("project.bcfp", "ProjectInfo").findtext("Project/Name", "")
        extensions = self.document("extensions.xml", "Extensions")
        listed = {name: [e.text for e in extensions.iter(name)]
                  for name in ("TopicType", "TopicStatus", "Priority", "TopicLabel", "User")}
        folders = list(dict.fromkeys(name.split("/")[0] for name in self.files if "/" in name))
        for folder in folders:
            self.read_topic(folder, listed)
        known = {"bcf.version", "project.bcfp", "extensions.xml"}
        known |= {f"{folder}/{name}" for folder in folders
                  for name in ("markup.bcf", "viewpoint.bcfv")}
        for name in self.files.keys() - known:
            if not name.endswith("/snapshot.png"):
                self.problem(name, "belongs to nothing")
            elif not self.files[name].startswith(b"\x89PNG\r\n\x1a\n"):
                self.problem(name, "is no PNG")
        guids = [topic[key] for topic in self.topics for key in ("guid", "viewpoint_guid")]
        if len(set(guids)) != len(guids):
            self.problem("topics", "share an identifier")

    def read_topic(self, folder, listed):
        where = f"{folder}/markup.bcf"
        topic = self.document(where, "Markup").find("Topic")
        if topic is None:
            return
        if topic.get("Guid") != folder:
            self.problem(where, "its topic is not its folder's")
        values = [("TopicType", topic.get("TopicType")), ("TopicStatus", topic.get("TopicStatus")),
                  ("User", topic.findtext("CreationAuthor"))]
        if topic.find("Priority") is not None:
            values.append(("Priority", topic.findtext("Priority")))
        labels = [label.text for label in topic.iter("Label")]
        for kind, value in values + [("TopicLabel", label) for label in labels]:
            if value not in listed[kind]:
                self.problem(where, f"{value} is not in the extensions' {kind}")
        points = list(topic.iter("ViewPoint"))
        if len(points) != 1:
            self.problem(where, f"has {len(points)} viewpoints")
            return
        picture = points[0].findtext("Snapshot")
        if picture and f"{folder}/{picture}" not in self.files:
            self.problem(where, f"has no {picture}")
        view = self.read_view(f"{folder}/{points[0].findtext('Viewpoint')}", points[0].get("Guid"))
        view.update(guid=folder, title=topic.findtext("Title"), labels=labels,
                    type=topic.get("TopicType"), status=topic.get("TopicStatus"),
                    priority=topic.findtext("Priority"), created=topic.findtext("CreationDate"),
                    author=topic.findtext("CreationAuthor"),
                    description=topic.findtext("Description"))
        self.topics.append(view)

    def read_view(self, name, guid):
        info = self.document(name, "VisualizationInfo")
        if info.get("Guid") != guid:
            self.problem(name, "is not the viewpoint its topic means")
        selected = [{"ifc_guid": c.get("IfcGuid"), "system": c.findtext("OriginatingSystem"),
                     "id": c.findtext("AuthoringToolId")} for c in info.iterfind(
                         "Components/Selection/Component")]
        cameras = info.findall("PerspectiveCamera") + info.findall("OrthogonalCamera")
        if len(cameras) != 1:
            self.problem(name, f"has {len(cameras)} cameras")
            return {"viewpoint_guid": guid, "selected": selected}
        eye, direction, up = (triple(cameras[0].find(tag)) for tag in (
            "CameraViewPoint", "CameraDirection", "CameraUpVector"))
        field = float(cameras[0].findtext("FieldOfView", "nan"))
        if not 45 <= field <= 60:  # the note in visinfo.xsd
            self.problem(name, f"its field of view is {field} degrees")
        for what, vector in (("direction", direction), ("up vector", up)):
            if abs(math.hypot(*vector) - 1) > 1e-9:
                self.problem(name, f"its camera's {what} is no unit vector")
        if abs(sum(a * b for a, b in zip(direction, up))) > 1e-9:
            self.problem(name, "its camera's up vector leans")
        lines = [[triple(line.find("StartPoint")), triple(line.find("EndPoint"))]
                 for line in info.iterfind("Lines/Line")]
        visibility = info.find("Components/Visibility")
        return {"viewpoint_guid": guid, "selected": selected, "eye_m": eye,
                "direction": direction, "up": up, "lines_m": lines,
                "all_visible": visibility is not None
                and visibility.get("DefaultVisibility") == "true" and len(visibility) == 0}


def triple(element):
    if element is None:
        return [math.nan] * 3
    return [float(element.findtext(axis, "nan")) for axis in "XYZ"]


def main():
    if len(sys.argv) not in (2, 3) or sys.argv[2:] not in ([], ["--json"]):
        print("usage: bcf.py FILE [--json]", file=sys.stderr)
        return 2
    reader = Reader(sys.argv[1])
    if sys.argv[2:]:
        print(json.dumps({"problems": reader.problems, "project": reader.project,
                          "times": reader.times, "topics": reader.topics}))
    else:
        for problem in reader.problems:
            print(problem)
        print(f"{len(reader.topics)} topics, {len(reader.problems)} problems")
    return 1 if reader.problems else 0


if __name__ == "__main__":
    sys.exit(main())
