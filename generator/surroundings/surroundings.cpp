#include "generator/surroundings/surroundings.h"

#include <BRepBuilderAPI_Transform.hxx>
#include <TopExp_Explorer.hxx>
#include <algorithm>
#include <atomic>
#include <cctype>
#include <charconv>
#include <cmath>
#include <gp.hxx>
#include <gp_Trsf.hxx>
#include <numbers>
#include <unordered_set>

#include "generator/geometry/mesh/given_mesh.h"
#include "generator/geometry/moving/hull_tree.h"
#include "generator/geometry/numbers.h"
#include "generator/occt/checked.h"
#include "generator/occt/step/step_library.h"
#include "generator/surroundings/bodies_of_triangles.h"

namespace leafstack {
namespace {

// What is smaller all told, or larger, was hardly drawn in the unit that it is read in.
constexpr double kLeastMeantMm = 50, kMostMeantMm = 1e6;
constexpr int kMostFaces = 20'000;

SurroundingFile fault(const std::string& path, std::string what, std::string suggestion = {}) {
  return {nullptr, path + " " + std::move(what), std::move(suggestion)};
}

/// An entity that is named and not there, or 0: the kernel goes on without looking, and falls.
long missingEntity(const std::string& bytes) {
  std::unordered_set<long> known;
  std::vector<long> named;
  bool is_text = false, is_new = true;  // in quotes; at an entity's beginning
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const char c = bytes[i];
    is_text = is_text != (c == '\'');
    if (!is_text && c == '/' && bytes.compare(i, 2, "/*") == 0) {
      i = std::min(bytes.find("*/", i), bytes.size() - 2) + 1;
      continue;
    }
    if (is_text || std::isspace(static_cast<unsigned char>(c)) != 0) {
      continue;
    }
    if (c == '#') {
      long number = 0;
      const auto end = std::from_chars(bytes.data() + i + 1, bytes.data() + bytes.size(), number);
      is_new ? static_cast<void>(known.insert(number)) : named.push_back(number);
      i = static_cast<std::size_t>(end.ptr - bytes.data()) - 1;
    }
    is_new = c == ';';
  }
  for (const long one : named) {
    if (!known.contains(one)) {
      return one;
    }
  }
  return 0;
}

SurroundingFile readStep(const std::string& bytes, const std::string& path,
                         SurroundingShapes& shapes) {
  if (const long missing = missingEntity(bytes); missing != 0) {
    return fault(path, "is damaged: it names #" + std::to_string(missing) + " and has none");
  }
  StepContent content;
  try {
    content = stepLibrary().read(bytes, path);
  } catch (const GeometryError& error) {
    return fault(path, std::string("cannot be read: ") + error.what());
  }
  if (!content.is_step) {
    return fault(path, "is damaged: the kernel cannot read it as STEP");
  }
  if (content.read == 0 || content.read < content.roots) {
    return fault(path, "is damaged: of " + std::to_string(content.roots) +
                           " things in it the kernel reads " + std::to_string(content.read));
  }
  const TopoDS_Shape& all = content.shape;
  int open = 0;
  for (TopExp_Explorer faces(all, TopAbs_FACE, TopAbs_SOLID); faces.More(); faces.Next()) {
    ++open;
  }
  if (open > 0 && TopExp_Explorer(all, TopAbs_SOLID).More()) {
    return fault(path, "has surfaces beside its solids that enclose nothing, " +
                           std::to_string(open) + " faces: a panel might run through them");
  }
  int faces = 0;
  for (TopExp_Explorer solids(all, TopAbs_SOLID); solids.More(); solids.Next()) {
    const std::string which = "solid " + std::to_string(shapes.bodies.size() + 1);
    faces += faceCount(solids.Current());
    if (faces > kMostFaces) {
      return fault(path, "has more than " + std::to_string(kMostFaces) + " faces");
    }
    try {
      TopoDS_Shape solid = checkedSolid(solids.Current(), which);
      if (massProperties(solid).volume_mm3 < 0) {
        solid.Reverse();
      }
      shapes.bodies.push_back({solid, {}});
    } catch (const GeometryError& error) {
      return fault(path, std::string("cannot be kept clear of: ") + error.what());
    }
  }
  if (shapes.bodies.empty()) {
    const bool has_faces = TopExp_Explorer(all, TopAbs_FACE).More();
    return fault(path, has_faces ? "has open surfaces only, no solid" : "has no solid");
  }
  return {};
}

Bounds boundsOf(const SurroundingShapes& shapes) {
  Bounds box{{1e300, 1e300, 1e300}, {-1e300, -1e300, -1e300}};
  for (const SurroundingBody& body : shapes.bodies) {
    for (const Vec3& point : body.mesh.points) {
      include(box, point);
    }
    if (!body.solid.IsNull()) {
      const Bounds own = tightBounds(body.solid);
      include(box, own.low);
      include(box, own.high);
    }
  }
  return box;
}

/// "write "unit": "m"", where a file's own size in that unit is a likely one.
std::string likelyUnit(double longest_mm, double mm_per_unit) {
  for (const DrawnUnit& unit : kDrawnUnits) {
    const double then = longest_mm / mm_per_unit * unit.mm;
    const bool is_metric = std::string(unit.name) == "m" || std::string(unit.name) == "mm";
    if (is_metric && then > kLeastMeantMm && then < kMostMeantMm) {
      return std::string("if it was drawn in ") + unit.name + ", write \"unit\": \"" + unit.name +
             "\" beside its name";
    }
  }
  return "";
}

/// Whether nothing was drawn of this size, unless its unit was said.
SurroundingFile sizeFault(const SurroundingShapes& shapes, const std::string& path,
                          const std::string& unit, double mm_per_unit) {
  const Bounds box = boundsOf(shapes);
  double longest = 0;
  for (int axis = 0; axis < 3; ++axis) {
    longest = std::max(longest, box.high[axis] - box.low[axis]);
  }
  if (longest > kMostMeantMm || (longest < kLeastMeantMm && unit.empty())) {
    return fault(path,
                 "measures " + shown(longest, 3) + " mm at its longest: hardly what was meant",
                 likelyUnit(longest, mm_per_unit));
  }
  return {};
}

/// What a file is that none of the readers knows, from how it begins.
SurroundingFile otherFile(const std::string& bytes, const std::string& path) {
  if (bytes.empty()) {
    return fault(path, "is empty");
  }
  if (const std::string counts = stlCounts(bytes); path.ends_with(".stl") && !counts.empty()) {
    return fault(path, "is no STL: " + counts);
  }
  const bool is_text_gltf = bytes.front() == '{' && bytes.find("\"asset\"") != std::string::npos;
  return fault(path, "is no STEP, STL or GLB file",
               is_text_gltf ? "glTF with its figures beside it is not read: export it as GLB" : "");
}

}  // namespace

SurroundingFile readShapes(const std::string& bytes, const std::string& path,
                           const std::string& unit) {
  static std::atomic<long> last_serial{0};
  auto shapes = std::make_shared<SurroundingShapes>();
  shapes->serial = ++last_serial;
  if (bytes.size() > kMostSurroundingBytes) {
    return fault(path, "has more than " + std::to_string(kMostSurroundingBytes >> 20) + " MB");
  }
  const auto known = std::find_if(kDrawnUnits.begin(), kDrawnUnits.end(),
                                  [&](const DrawnUnit& one) { return one.name == unit; });
  double mm_per_unit = known == kDrawnUnits.end() ? 1 : known->mm;
  if (bytes.starts_with("ISO-10303-21")) {
    if (!unit.empty()) {
      return fault(path, "says its unit itself", "leave \"unit\" out");
    }
    SurroundingFile wrong = readStep(bytes, path, *shapes);
    if (!wrong.fault.empty()) {
      return wrong;
    }
  } else if (looksLikeGlb(bytes) || looksLikeStl(bytes)) {
    const bool is_glb = looksLikeGlb(bytes);
    mm_per_unit = is_glb && unit.empty() ? 1000 : mm_per_unit;
    const LooseTriangles loose = is_glb ? trianglesOfGlb(bytes) : trianglesOfStl(bytes);
    if (!loose.fault.empty()) {
      return fault(path, loose.fault);
    }
    if (loose.corners.empty()) {
      return fault(path, "has no triangles");
    }
    if (loose.corners.size() > kMostSurroundingTriangles) {
      return fault(path,
                   "has more than " + std::to_string(kMostSurroundingTriangles) + " triangles");
    }
    ClosedBodies closed = closedBodies(loose, mm_per_unit);
    if (!closed.fault.empty()) {
      return fault(path, closed.fault);
    }
    for (PartMesh& body : closed.bodies) {
      shapes->bodies.push_back({{}, std::move(body)});
    }
  } else {
    return otherFile(bytes, path);
  }
  if (shapes->bodies.size() > kMostSurroundingBodies) {
    return fault(path, "has " + std::to_string(shapes->bodies.size()) + " bodies, more than " +
                           std::to_string(kMostSurroundingBodies));
  }
  SurroundingFile wrong = sizeFault(*shapes, path, unit, mm_per_unit);
  if (!wrong.fault.empty()) {
    return wrong;
  }
  return {std::move(shapes), "", ""};
}

TopoDS_Shape placedBody(const Surrounding& surrounding, std::size_t index) {
  gp_Trsf place;
  place.SetRotation(gp::OZ(), surrounding.turned_deg * std::numbers::pi / 180);
  place.SetTranslationPart(
      gp_Vec(surrounding.at_mm[0], surrounding.at_mm[1], surrounding.at_mm[2]));
  const SurroundingBody& body = surrounding.shapes->bodies.at(index);
  if (!body.solid.IsNull()) {
    return BRepBuilderAPI_Transform(body.solid, place, /*copy=*/true).Shape();
  }
  PartMesh mesh = body.mesh;
  for (Vec3& point : mesh.points) {
    gp_XYZ at(point[0], point[1], point[2]);
    place.Transforms(at);
    point = {at.X(), at.Y(), at.Z()};
  }
  return solidOfTriangles(mesh);
}

}  // namespace leafstack
