#include "exporters/cad/ifc/extrusion.h"

#include <BRepAdaptor_Surface.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Pln.hxx>
#include <limits>
#include <numbers>

#include "generator/geometry/geometry_error.h"
#include "generator/occt/checked.h"
#include "generator/occt/loops.h"

namespace leafstack {
namespace {

constexpr double kSameShare = 1e-9;  // of a volume
constexpr double kSameMm = 1e-6;
constexpr double kAgainst = 1e-9;  // of unit normals that face away from one another

struct Cap {
  TopoDS_Face face;
  gp_Dir out;
  double at_mm = 0;  ///< along `out`
};

int edgesOf(const TopoDS_Face& face) {
  TopTools_IndexedMapOfShape edges;
  TopExp::MapShapes(face, TopAbs_EDGE, edges);
  return edges.Extent();
}

/// Flat faces that have as many edges as a prism's ends must.
std::vector<Cap> capsOf(const TopoDS_Shape& solid) {
  const int sides = faceCount(solid) - 2;
  std::vector<Cap> caps;
  for (TopExp_Explorer all(solid, TopAbs_FACE); all.More(); all.Next()) {
    const TopoDS_Face face = TopoDS::Face(all.Current());
    const BRepAdaptor_Surface surface(face, /*restriction=*/false);
    if (surface.GetType() != GeomAbs_Plane || edgesOf(face) != sides) {
      continue;
    }
    const gp_Pln plane = surface.Plane();
    gp_Dir out =
        plane.Position().Direct() ? plane.Axis().Direction() : plane.Axis().Direction().Reversed();
    if (face.Orientation() == TopAbs_REVERSED) {
      out.Reverse();
    }
    caps.push_back({face, out, gp_Vec(plane.Location().XYZ()).Dot(gp_Vec(out))});
  }
  return caps;
}

gp_Ax2 baseOf(const Cap& low, const gp_Dir& along) {
  const gp_Dir x = std::abs(along.X()) > 0.5 ? gp::DY() : gp::DX();
  return {gp_Pnt(gp_Vec(low.out).Multiplied(low.at_mm).XYZ()), along, x};
}

bool areAlike(const std::vector<ProfileLoop>& one, const std::vector<ProfileLoop>& other) {
  if (one.size() != other.size()) {
    return false;
  }
  for (const ProfileLoop& loop : one) {
    const bool found = std::any_of(other.begin(), other.end(), [&](const ProfileLoop& candidate) {
      if (candidate.is_circle != loop.is_circle ||
          candidate.vertices.size() != loop.vertices.size() ||
          std::abs(candidate.x_mm - loop.x_mm) > kSameMm ||
          std::abs(candidate.y_mm - loop.y_mm) > kSameMm ||
          std::abs(candidate.radius_mm - loop.radius_mm) > kSameMm) {
        return false;
      }
      return std::all_of(loop.vertices.begin(), loop.vertices.end(), [&](const ProfileVertex& v) {
        return std::any_of(candidate.vertices.begin(), candidate.vertices.end(),
                           [&](const ProfileVertex& w) {
                             return std::hypot(v.x_mm - w.x_mm, v.y_mm - w.y_mm) < kSameMm;
                           });
      });
    });
    if (!found) {
      return false;
    }
  }
  return true;
}

std::optional<Extrusion> between(const Cap& low, const Cap& high, double volume_mm3) {
  const double depth = low.at_mm + high.at_mm;
  if (low.out.Dot(high.out) > kAgainst - 1 || depth <= 0) {
    return std::nullopt;
  }
  Extrusion extrusion{baseOf(low, high.out), depth, {}};
  try {
    extrusion.loops = loopsOf(high.face, extrusion.base);
    if (std::abs(extrusion.volumeMm3() - volume_mm3) > kSameShare * volume_mm3 ||
        !areAlike(extrusion.loops, loopsOf(TopoDS::Face(low.face.Reversed()), extrusion.base))) {
      return std::nullopt;
    }
  } catch (const GeometryError&) {  // an edge that is neither straight nor round
    return std::nullopt;
  }
  return extrusion;
}

struct Extents {
  double low[2] = {std::numeric_limits<double>::max(), std::numeric_limits<double>::max()};
  double high[2] = {std::numeric_limits<double>::lowest(), std::numeric_limits<double>::lowest()};

  double size(int axis) const { return high[axis] - low[axis]; }
};

/// Of a rectangle whose corners are rounded by quarter circles, or sharp.
Extents extentsOf(const ProfileLoop& loop) {
  Extents extents;
  for (const ProfileVertex& vertex : loop.vertices) {
    const double at[2] = {vertex.x_mm, vertex.y_mm};
    for (const int axis : {0, 1}) {
      extents.low[axis] = std::min(extents.low[axis], at[axis]);
      extents.high[axis] = std::max(extents.high[axis], at[axis]);
    }
  }
  return extents;
}

/// Radius of the corners; none where the loop is no rounded rectangle.
std::optional<double> cornerRadius(const ProfileLoop& loop, const Extents& extents) {
  if (loop.is_circle || (loop.vertices.size() != 8 && loop.vertices.size() != 4)) {
    return std::nullopt;
  }
  const double missing = extents.size(0) * extents.size(1) - loop.areaMm2();
  const double radius = std::sqrt(std::max(0.0, missing) / (4 - std::numbers::pi));
  for (const ProfileVertex& vertex : loop.vertices) {
    const double at[2] = {vertex.x_mm, vertex.y_mm};
    int on_side = 0, at_corner = 0;
    for (const int axis : {0, 1}) {
      const double off = std::min(at[axis] - extents.low[axis], extents.high[axis] - at[axis]);
      on_side += std::abs(off) < kSameMm ? 1 : 0;
      at_corner += std::abs(off - radius) < 1e-4 ? 1 : 0;
    }
    if (on_side + at_corner < 2) {
      return std::nullopt;
    }
  }
  return radius;
}

}  // namespace

double Extrusion::volumeMm3() const {
  double area = 0;
  for (const ProfileLoop& loop : loops) {
    area += (&loop == &loops.front() ? 1 : -1) * loop.areaMm2();
  }
  return area * depth_mm;
}

std::optional<Extrusion> extrusionOf(const Part& part) {
  const bool is_flat = part.supply == Supply::kCutPlate;
  std::optional<Extrusion> best;
  const std::vector<Cap> caps = capsOf(part.solid);
  for (std::size_t i = 0; i < caps.size(); ++i) {
    for (std::size_t j = i + 1; j < caps.size(); ++j) {
      if (auto one = between(caps[i], caps[j], part.volume_mm3);
          one && (!best || (one->depth_mm < best->depth_mm) == is_flat)) {
        best = std::move(one);
      }
    }
  }
  return best;
}

std::optional<HollowOutline> hollowOutline(const std::vector<ProfileLoop>& loops) {
  if (loops.size() != 2) {
    return std::nullopt;
  }
  const Extents outer = extentsOf(loops[0]), inner = extentsOf(loops[1]);
  const auto outer_radius = cornerRadius(loops[0], outer);
  const auto inner_radius = cornerRadius(loops[1], inner);
  if (!outer_radius || !inner_radius) {
    return std::nullopt;
  }
  const double wall = inner.low[0] - outer.low[0];
  for (const int axis : {0, 1}) {
    if (std::abs(inner.low[axis] - outer.low[axis] - wall) > kSameMm ||
        std::abs(outer.high[axis] - inner.high[axis] - wall) > kSameMm) {
      return std::nullopt;
    }
  }
  return HollowOutline{(outer.low[0] + outer.high[0]) / 2,
                       (outer.low[1] + outer.high[1]) / 2,
                       outer.size(0),
                       outer.size(1),
                       wall,
                       *outer_radius,
                       *inner_radius};
}

}  // namespace leafstack
