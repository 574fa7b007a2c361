#include "generator/model/wall_holes.h"

#include <BRepAdaptor_Surface.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Pln.hxx>
#include <limits>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/hardware.h"
#include "generator/occt/loops.h"

namespace leafstack {
namespace {

// Cosine of directions that count as one.
constexpr double kSameWay = 1 - 1e-9;

/// Outward direction of the wall; its face's axes are X, and Z or Y.
gp_Dir outwardOf(Wall wall) {
  switch (wall) {
    case Wall::kFront:
      return gp::DY().Reversed();
    case Wall::kRear:
      return gp::DY();
    case Wall::kBottom:
      return gp::DZ().Reversed();
    case Wall::kTop:
      return gp::DZ();
  }
  return gp::DZ();
}

bool isSide(Wall wall) {
  return wall == Wall::kFront || wall == Wall::kRear;
}

/// The plane face that lies furthest out.
TopoDS_Face outerFace(const TopoDS_Shape& solid, const gp_Dir& out) {
  TopoDS_Face found;
  double furthest = -std::numeric_limits<double>::infinity();
  for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face& face = TopoDS::Face(faces.Current());
    const BRepAdaptor_Surface surface(face, /*restriction=*/false);
    if (surface.GetType() != GeomAbs_Plane) {
      continue;
    }
    const gp_Pln plane = surface.Plane();
    const double at = gp_Vec(plane.Location().XYZ()).Dot(gp_Vec(out));
    if (std::abs(plane.Axis().Direction().Dot(out)) > kSameWay && at > furthest) {
      furthest = at;
      found = face;
    }
  }
  return found;
}

TubeHole holeOf(const ProfileLoop& loop) {
  TubeHole hole;
  if (loop.is_circle) {
    hole.x_mm = loop.x_mm;
    hole.across_mm = loop.y_mm;
    hole.length_mm = hole.width_mm = 2 * loop.radius_mm;
    hole.is_round = true;
    return hole;
  }
  double low[2] = {std::numeric_limits<double>::infinity(),
                   std::numeric_limits<double>::infinity()};
  double high[2] = {-low[0], -low[1]};
  const auto include = [&](double x, double y) {
    low[0] = std::min(low[0], x);
    low[1] = std::min(low[1], y);
    high[0] = std::max(high[0], x);
    high[1] = std::max(high[1], y);
  };
  for (std::size_t i = 0; i < loop.vertices.size(); ++i) {
    const ProfileVertex& a = loop.vertices[i];
    const ProfileVertex& b = loop.vertices[(i + 1) % loop.vertices.size()];
    include(a.x_mm, a.y_mm);
    if (a.bulge != 0) {
      // Quarter and half turns that begin square to an axis reach furthest at their ends or middle.
      include((a.x_mm + b.x_mm) / 2 + a.bulge * (b.y_mm - a.y_mm) / 2,
              (a.y_mm + b.y_mm) / 2 - a.bulge * (b.x_mm - a.x_mm) / 2);
      const double chord = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
      hole.corner_mm = chord * (1 + a.bulge * a.bulge) / (4 * std::abs(a.bulge));
    }
  }
  hole.x_mm = (low[0] + high[0]) / 2;
  hole.across_mm = (low[1] + high[1]) / 2;
  hole.length_mm = high[0] - low[0];
  hole.width_mm = high[1] - low[1];
  return hole;
}

}  // namespace

std::string TubeHole::sizeText() const {
  if (is_round) {
    return "dia " + shown(length_mm);
  }
  std::string text = shown(length_mm) + "x" + shown(width_mm);
  if (corner_mm > 0) {
    text += " R" + shown(corner_mm);
  }
  return text;
}

std::string purposeOf(const HardwareSpec& shelf, const TubeHole& hole, Wall wall) {
  const auto is = [&](double dia) { return std::abs(hole.length_mm - dia) < kLengthEqualMm; };
  if (isSide(wall)) {
    if (!hole.is_round) {
      return "rope pulley";
    }
    if (is(axleHoleMm(shelf)) && !isOnPlate(shelf)) {
      return "wheel axle";
    }
    const SunkScrew of_pulley{shelf.pulley.screw_mm};
    if (shelf.rack.fixing == RackFixing::kFoot && !is(2 * of_pulley.formRadiusMm())) {
      return "rack's foot, flow-drilled thread";
    }
    return "pulley, flow-drilled M" + shown(shelf.pulley.screw_mm);
  }
  if (!hole.is_round) {
    return "wheel pocket";
  }
  return "wheel carrier, flow-drilled M" + shown(shelf.wheel.plate_bolt_mm) + " thread";
}

std::vector<TubeHole> holesIn(const Part& tube, Wall wall) {
  const gp_Dir out = outwardOf(wall);
  const TopoDS_Face face = outerFace(tube.solid, out);
  std::vector<TubeHole> holes;
  if (face.IsNull()) {
    return holes;
  }
  // One right-handed pair of axes for both walls of a pair: X and Z, or X and Y.
  const gp_Dir normal = isSide(wall) ? gp::DY().Reversed() : gp::DZ();
  const std::vector<ProfileLoop> loops = loopsOf(face, gp_Ax2(gp::Origin(), normal, gp::DX()));
  for (std::size_t i = 1; i < loops.size(); ++i) {
    holes.push_back(holeOf(loops[i]));
  }
  std::sort(holes.begin(), holes.end(), [](const TubeHole& a, const TubeHole& b) {
    const double ax = std::abs(a.x_mm), bx = std::abs(b.x_mm);
    return ax != bx ? ax < bx : a.across_mm < b.across_mm;
  });
  return holes;
}

}  // namespace leafstack
