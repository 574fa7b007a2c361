#include "exporters/cad/step/measured/step_dimensions.h"

#include <BRepAdaptor_Surface.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <gp_Cylinder.hxx>
#include <gp_Pln.hxx>
#include <map>
#include <numbers>
#include <string_view>

#include "exporters/bytes/export_error.h"
#include "generator/occt/checked.h"

namespace leafstack {
namespace {

constexpr double kSquare = 1e-9, kSamePlaceMm = 1e-6;

/// The axis that a direction lies along, and which way; none where it leans.
std::optional<std::pair<int, double>> axisOf(const gp_Dir& direction) {
  for (int axis = 0; axis < 3; ++axis) {
    const double along = direction.Coord(axis + 1);
    if (std::abs(std::abs(along) - 1) <= kSquare) {
      return std::pair(axis, along > 0 ? 1.0 : -1.0);
    }
  }
  return std::nullopt;
}

std::string_view bodyOf(const std::map<int, std::string_view>& entities, int number) {
  const auto found = entities.find(number);
  return found == entities.end() ? std::string_view() : found->second;
}

/// "#12" at `at`, or 0.
int numberAt(std::string_view text, std::size_t at) {
  int number = 0;
  if (at < text.size() && text[at] == '#') {
    std::from_chars(text.data() + at + 1, text.data() + text.size(), number);
  }
  return number;
}

std::map<int, std::string_view> entitiesOf(std::string_view text) {
  std::map<int, std::string_view> found;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(";\n", at), text.size());
    const std::string_view entity = text.substr(at, end - at);
    const std::size_t body = entity.find("= ");
    if (const int number = numberAt(entity, 0); number > 0 && body != std::string_view::npos) {
      found[number] = entity.substr(body + 2);
    }
    at = end + 2;
  }
  return found;
}

}  // namespace

PartDimensions dimensionsOf(const TopoDS_Shape& solid, const gp_Trsf& motion) {
  PartDimensions found;
  const Bounds box = movedBounds(tightBounds(solid), TopLoc_Location(motion));
  for (int axis = 0; axis < 3; ++axis) {
    found.extents[axis].size_mm = box.high[axis] - box.low[axis];
  }
  int index = -1;
  std::vector<std::pair<int, gp_Ax1>> axes;  // of holes
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    ++index;
    const TopoDS_Face& face = TopoDS::Face(faces.Current());
    const BRepAdaptor_Surface surface(face);
    const bool is_reversed = face.Orientation() == TopAbs_REVERSED;
    if (surface.GetType() == GeomAbs_Plane) {
      const gp_Pln plane = surface.Plane().Transformed(motion);
      const auto square = axisOf(plane.Axis().Direction());
      if (!square) {
        continue;
      }
      const auto [axis, way] = *square;
      const double at = plane.Location().Coord(axis + 1);
      const bool is_direct = plane.Position().Direct();
      const bool faces_up = (way > 0) == (is_direct != is_reversed);
      auto& extent = found.extents[axis];
      if (faces_up && std::abs(at - box.high[axis]) <= kSamePlaceMm && !extent.high_face) {
        extent.high_face = index;
      } else if (!faces_up && std::abs(at - box.low[axis]) <= kSamePlaceMm && !extent.low_face) {
        extent.low_face = index;
      }
    } else if (surface.GetType() == GeomAbs_Cylinder) {
      const gp_Cylinder cylinder = surface.Cylinder().Transformed(motion);
      const double round = surface.LastUParameter() - surface.FirstUParameter();
      const bool is_inward = cylinder.Position().Direct() == is_reversed;
      if (is_inward && std::abs(round - 2 * std::numbers::pi) <= kSquare) {
        found.holes.push_back({index, 2 * cylinder.Radius(), {}});
        axes.emplace_back(static_cast<int>(found.holes.size()) - 1, cylinder.Axis());
      }
    }
  }
  for (const auto& [hole, axis] : axes) {
    const auto along = axisOf(axis.Direction());
    for (int k = 0; k < 3; ++k) {
      // Of a hole that leans there is no one place.
      if (along && along->first != k && found.extents[k].low_face) {
        found.holes[hole].from_low_mm[k] = axis.Location().Coord(k + 1) - box.low[k];
      }
    }
  }
  return found;
}

std::vector<int> faceNumbers(const std::string& text, const TopoDS_Shape& solid,
                             const std::string& mark) {
  const auto fail = [&] {
    throw ExportError("STEP: the faces of " + mark + " were not found again");
  };
  const auto entities = entitiesOf(text);
  std::vector<int> numbers;
  for (const auto& [number, body] : entities) {
    if (!body.starts_with("CLOSED_SHELL(")) {
      continue;
    }
    for (std::size_t at = body.find('#'); at != std::string_view::npos;
         at = body.find('#', at + 1)) {
      numbers.push_back(numberAt(body, at));
    }
  }
  std::size_t i = 0;
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next(), ++i) {
    if (i >= numbers.size()) {
      fail();
    }
    // The last reference of an ADVANCED_FACE is its surface.
    const std::string_view face = bodyOf(entities, numbers[i]);
    const std::string_view surface = bodyOf(entities, numberAt(face, face.rfind('#')));
    const GeomAbs_SurfaceType kind =
        BRepAdaptor_Surface(TopoDS::Face(faces.Current()), false).GetType();
    if (!face.starts_with("ADVANCED_FACE(") ||
        (kind == GeomAbs_Plane) != surface.starts_with("PLANE(") ||
        (kind == GeomAbs_Cylinder) != surface.starts_with("CYLINDRICAL_SURFACE(")) {
      fail();
    }
  }
  if (i != numbers.size()) {
    fail();
  }
  return numbers;
}

}  // namespace leafstack
