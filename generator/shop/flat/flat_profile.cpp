#include "generator/shop/flat/flat_profile.h"

#include <BRepAdaptor_Surface.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Cone.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Pln.hxx>
#include <limits>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/occt/checked.h"
#include "generator/occt/loops.h"
#include "generator/shop/flat/unfold.h"

namespace leafstack {
namespace {

// Two faces of one plate have the same area but for rounding.
constexpr double kSameShare = 1e-9;
// Cosine of directions that count as parallel, or square to each other.
constexpr double kStraight = 1e-9;

struct PlaneFace {
  TopoDS_Face face;
  gp_Dir out;     ///< away from the material
  double at = 0;  ///< along `out`
  double area = 0;
};

std::vector<PlaneFace> planeFaces(const TopoDS_Shape& solid) {
  std::vector<PlaneFace> faces;
  for (TopExp_Explorer all(solid, TopAbs_FACE); all.More(); all.Next()) {
    const TopoDS_Face face = TopoDS::Face(all.Current());
    const BRepAdaptor_Surface surface(face, /*restriction=*/false);
    if (surface.GetType() != GeomAbs_Plane) {
      continue;
    }
    const gp_Pln plane = surface.Plane();
    gp_Dir out =
        plane.Position().Direct() ? plane.Axis().Direction() : plane.Axis().Direction().Reversed();
    if (face.Orientation() == TopAbs_REVERSED) {
      out.Reverse();
    }
    faces.push_back(
        {face, out, gp_Vec(plane.Location().XYZ()).Dot(gp_Vec(out)), surfaceArea(face)});
  }
  return faces;
}

/// Axes of a profile seen against `out`: across the gate X and Z, lying X and Y, else Y and Z.
gp_Ax2 viewAxes(const gp_Dir& out) {
  const gp_Dir x = std::abs(out.X()) > 0.5 ? gp_Dir(gp::DY().Reversed()) : gp::DX();
  return {gp::Origin(), out, x};
}

/// Whether every face that is not `one` nor `other` stands square to them, but for holes drilled
/// across, which do not touch them, and for countersinks.
bool standsSquare(const TopoDS_Shape& solid, const gp_Dir& out) {
  for (TopExp_Explorer all(solid, TopAbs_FACE); all.More(); all.Next()) {
    const BRepAdaptor_Surface surface(TopoDS::Face(all.Current()), /*restriction=*/false);
    if (surface.GetType() == GeomAbs_Plane) {
      const double lean = std::abs(surface.Plane().Axis().Direction().Dot(out));
      if (lean > kStraight && lean < 1 - kStraight) {
        return false;
      }
    } else if (surface.GetType() == GeomAbs_Cylinder) {
      const double lean = std::abs(surface.Cylinder().Axis().Direction().Dot(out));
      if (lean > kStraight && lean < 1 - kStraight) {
        return false;
      }
    } else if (surface.GetType() != GeomAbs_Cone ||
               std::abs(surface.Cone().Axis().Direction().Dot(out)) < 1 - kStraight) {
      return false;
    }
  }
  return true;
}

/// Moves the loops so that their extents begin at the origin; measures them.
void settle(FlatProfile& profile) {
  constexpr double kFar = std::numeric_limits<double>::max();
  std::array<double, 4> e{kFar, kFar, -kFar, -kFar};
  const ProfileLoop& outline = profile.loops.front();
  const auto widen = [&](double x, double y, double round) {
    e = {std::min(e[0], x - round), std::min(e[1], y - round), std::max(e[2], x + round),
         std::max(e[3], y + round)};
  };
  if (outline.is_circle) {
    widen(outline.x_mm, outline.y_mm, outline.radius_mm);
  }
  for (const ProfileVertex& vertex : outline.vertices) {
    widen(vertex.x_mm, vertex.y_mm, 0);
  }
  for (ProfileLoop& loop : profile.loops) {
    loop.x_mm -= e[0];
    loop.y_mm -= e[1];
    for (ProfileVertex& vertex : loop.vertices) {
      vertex.x_mm -= e[0];
      vertex.y_mm -= e[1];
    }
    profile.area_mm2 += (&loop == &profile.loops.front() ? 1 : -1) * loop.areaMm2();
  }
  profile.width_mm = e[2] - e[0];
  profile.height_mm = e[3] - e[1];
}

/// Faces of one plate, whatever a countersink takes out of one of them.
bool areAlike(const PlaneFace& one, const PlaneFace& other) {
  if (std::abs(one.area - other.area) <= kSameShare * one.area) {
    return true;
  }
  const auto outline = [](const PlaneFace& face) {
    return loopsOf(face.face, viewAxes(face.out)).front().areaMm2();
  };
  const double whole = outline(one);
  return std::abs(whole - outline(other)) <= kSameShare * whole;
}

bool hasCones(const TopoDS_Shape& solid) {
  for (TopExp_Explorer all(solid, TopAbs_FACE); all.More(); all.Next()) {
    const BRepAdaptor_Surface surface(TopoDS::Face(all.Current()), /*restriction=*/false);
    if (surface.GetType() == GeomAbs_Cone) {
      return true;
    }
  }
  return false;
}

bool isUprightRectangle(const ProfileLoop& loop) {
  if (loop.is_circle || loop.vertices.size() != 4) {
    return false;
  }
  for (int i = 0; i < 4; ++i) {
    const ProfileVertex& from = loop.vertices[i];
    const ProfileVertex& to = loop.vertices[(i + 1) % 4];
    const double dx = std::abs(to.x_mm - from.x_mm), dy = std::abs(to.y_mm - from.y_mm);
    if (from.bulge != 0 || std::min(dx, dy) > kLengthEqualMm) {
      return false;
    }
  }
  return true;
}

/// A rectangular plate with edges that lean: the rectangle that both its faces lie within, and the
/// holes, all of them straight through.
std::optional<FlatProfile> bevelledProfile(const Part& part, const std::vector<PlaneFace>& faces,
                                           const PlaneFace& largest) {
  const gp_Ax2 axes = viewAxes(largest.out);
  FlatProfile profile;
  profile.mark = part.mark;
  profile.is_bevelled = true;
  profile.loops = loopsOf(largest.face, axes);
  int opposite = 0;
  for (const PlaneFace& face : faces) {
    if (face.out.Dot(largest.out) >= -(1 - kStraight)) {
      continue;
    }
    ++opposite;
    profile.thickness_mm = largest.at + face.at;
    const std::vector<ProfileLoop> loops = loopsOf(face.face, axes);
    if (loops.size() != profile.loops.size() || !isUprightRectangle(loops.front()) ||
        !isUprightRectangle(profile.loops.front())) {
      return std::nullopt;
    }
    std::vector<ProfileVertex>& corners = profile.loops.front().vertices;
    for (ProfileVertex& corner : corners) {
      // The other face's corner on the same side of the middle, where that is further out.
      const auto further = [&](double own, double ProfileVertex::*at) {
        double low = own, high = own;
        for (const ProfileVertex& one : corners) {
          low = std::min(low, one.*at);
          high = std::max(high, one.*at);
        }
        const bool is_low = own - low < high - own;
        for (const ProfileVertex& one : loops.front().vertices) {
          low = std::min(low, one.*at);
          high = std::max(high, one.*at);
        }
        return is_low ? low : high;
      };
      corner.x_mm = further(corner.x_mm, &ProfileVertex::x_mm);
      corner.y_mm = further(corner.y_mm, &ProfileVertex::y_mm);
    }
  }
  if (opposite != 1 || !(profile.thickness_mm > 0)) {
    return std::nullopt;
  }
  settle(profile);
  return profile;
}

/// As it is cut: countersinks come after, so their holes have their least diameter.
std::optional<FlatProfile> plateProfile(const Part& part) {
  const std::vector<PlaneFace> faces = planeFaces(part.solid);
  // The largest; of two alike the one seen from above, from the road or from the latch post.
  const auto largest =
      std::max_element(faces.begin(), faces.end(), [](const PlaneFace& p, const PlaneFace& q) {
        const auto shown_side = [](const gp_Dir& out) { return out.Z() - out.Y() - out.X(); };
        const bool alike = std::abs(p.area - q.area) <= kSameShare * q.area;
        return alike ? shown_side(p.out) < shown_side(q.out) : p.area < q.area;
      });
  if (largest == faces.end()) {
    return std::nullopt;
  }
  if (!standsSquare(part.solid, largest->out)) {
    return bevelledProfile(part, faces, *largest);
  }
  // The plate's other face: as large, and the only one that looks the other way, so that there is
  // no step.
  int facing = 0, opposite = 0;
  double thickness = 0;
  for (const PlaneFace& face : faces) {
    const double along = face.out.Dot(largest->out);
    facing += along > 1 - kStraight ? 1 : 0;
    if (along < -(1 - kStraight)) {
      ++opposite;
      thickness = largest->at + face.at;
      const bool alike = hasCones(part.solid)
                             ? areAlike(face, *largest)
                             : std::abs(face.area - largest->area) <= kSameShare * largest->area;
      if (!alike) {
        return std::nullopt;
      }
    }
  }
  if (facing != 1 || opposite != 1 || !(thickness > 0)) {
    return std::nullopt;
  }
  FlatProfile profile;
  profile.mark = part.mark;
  profile.thickness_mm = thickness;
  profile.loops = loopsOf(largest->face, viewAxes(largest->out));
  settle(profile);
  return profile;
}

/// A bought one is a section, cut to length.
bool isFoldedChannel(const Part& part) {
  return part.kind == PartKind::kGuideChannel && part.section.starts_with("folded ");
}

}  // namespace

bool isFlatWork(const Part& part) {
  return part.supply == Supply::kCutPlate || isFoldedChannel(part);
}

std::optional<FlatProfile> flatProfileOf(const Part& part, const BendRule& rule) {
  if (!isFlatWork(part)) {
    return std::nullopt;
  }
  const bool is_folded = isFoldedChannel(part) || part.section.rfind("bent plate", 0) == 0;
  if (!is_folded) {
    return plateProfile(part);
  }
  std::optional<FlatProfile> blank = unfolded(part, rule);
  if (blank) {
    settle(*blank);
  }
  return blank;
}

}  // namespace leafstack
