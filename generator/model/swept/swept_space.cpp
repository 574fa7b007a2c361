#include "generator/model/swept/swept_space.h"

#include <algorithm>
#include <cmath>
#include <gp_Pnt.hxx>
#include <limits>
#include <map>

#include "generator/geometry/in_parallel.h"
#include "generator/geometry/mesh/mesh.h"
#include "generator/geometry/mesh/part_mesh.h"
#include "generator/occt/checked.h"
#include "generator/occt/solids/outline.h"

namespace leafstack {
namespace {

using FrontPoint = std::array<double, 2>;

double turn(const FrontPoint& a, const FrontPoint& b, const FrontPoint& c) {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

/// Monotone chain (A. M. Andrew, 1979): anticlockwise, no three corners in one line.
std::vector<FrontPoint> hullOf(std::vector<FrontPoint> points) {
  std::sort(points.begin(), points.end());
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) {
    return points;
  }
  std::vector<FrontPoint> hull;
  const auto chain = [&hull](const FrontPoint& point, std::size_t least) {
    while (hull.size() >= least + 2 && turn(hull[hull.size() - 2], hull.back(), point) <= 0) {
      hull.pop_back();
    }
    hull.push_back(point);
  };
  for (const FrontPoint& point : points) {
    chain(point, 0);
  }
  const std::size_t lower = hull.size() - 1;
  for (std::size_t i = points.size() - 1; i-- > 0;) {
    chain(points[i], lower);
  }
  hull.pop_back();
  return hull;
}

/// What one body of a panel is, as seen from the front, in its place at closed.
struct Seen {
  std::vector<FrontPoint> hull;
  double low_y_mm = std::numeric_limits<double>::max();
  double high_y_mm = std::numeric_limits<double>::lowest();
};

void addCorners(const Bounds& box, std::vector<Vec3>& corners) {
  for (int corner = 0; corner < 8; ++corner) {
    Vec3 at{};
    for (int axis = 0; axis < 3; ++axis) {
      at[axis] = (corner >> axis & 1) != 0 ? box.high[axis] : box.low[axis];
    }
    corners.push_back(at);
  }
}

/// The corners of a part in the gate's frame. A rope's strands change their lengths between those
/// of the closed and the open gate: the bounds of both count.
std::vector<Vec3> cornersOf(const Model& model, const Instance& instance, const PartMesh& mesh) {
  const Part& part = model.parts[instance.part];
  std::vector<Vec3> corners;
  if (part.kind == PartKind::kRope) {
    addCorners(instance.bounds, corners);
    addCorners(movedBounds(tightBounds(part.open_solid), instance.at_closed), corners);
    return corners;
  }
  for (const Vec3& point : mesh.points) {
    const gp_Pnt at =
        gp_Pnt(point[0], point[1], point[2]).Transformed(instance.at_closed.Transformation());
    corners.push_back({at.X(), at.Y(), at.Z()});
  }
  return corners;
}

constexpr std::size_t kMostBeforeHull = 20000;
constexpr double kStepMm = 5;        // between positions where tracks are surveyed
constexpr double kLeftOutMm = 0.03;  // by corners of the outline that are not written

/// Positions of the drive that are looked at: either end where nothing leans. On a kink of 8 %
/// a step leaves out a quarter of step times kink, 0.1 mm: with kLeftOutMm less than the margin.
std::vector<double> positionsOf(const Model& model) {
  const double travel = model.layout.drive_travel_mm;
  const int steps = model.layout.ground.is_surveyed
                        ? std::max(1, static_cast<int>(std::ceil(travel / kStepMm)))
                        : 1;
  std::vector<double> positions;
  for (int i = 0; i <= steps; ++i) {
    positions.push_back(travel * i / steps);
  }
  return positions;
}

/// Without corners that its sides pass by less than kLeftOutMm.
std::vector<FrontPoint> fewer(const std::vector<FrontPoint>& hull) {
  std::vector<FrontPoint> kept = {hull.front()};
  std::size_t from = 0;
  const std::size_t count = hull.size();
  while (from < count) {
    std::size_t to = from + 1;
    const auto passes = [&](std::size_t end) {
      const FrontPoint& b = hull[end % count];
      for (std::size_t i = from + 1; i < end; ++i) {
        const double length = std::hypot(b[0] - hull[from][0], b[1] - hull[from][1]);
        if (std::abs(turn(hull[from], b, hull[i])) > kLeftOutMm * length) {
          return false;
        }
      }
      return true;
    };
    while (to < count && passes(to + 1)) {
      ++to;
    }
    if (to < count) {
      kept.push_back(hull[to]);
    }
    from = to;
  }
  return kept;
}

/// Outwards along the bisector of the sides at each corner, so that every side moves by `by_mm`.
std::vector<FrontPoint> widened(const std::vector<FrontPoint>& hull, double by_mm) {
  std::vector<FrontPoint> wide;
  const std::size_t count = hull.size();
  for (std::size_t i = 0; i < count; ++i) {
    const FrontPoint& before = hull[(i + count - 1) % count];
    const FrontPoint& at = hull[i];
    const FrontPoint& after = hull[(i + 1) % count];
    const auto outward = [](const FrontPoint& p, const FrontPoint& q) {
      const double length = std::hypot(q[0] - p[0], q[1] - p[1]);
      return FrontPoint{(q[1] - p[1]) / length, -(q[0] - p[0]) / length};
    };
    const FrontPoint a = outward(before, at), b = outward(at, after);
    const double share = by_mm / (1 + a[0] * b[0] + a[1] * b[1]);
    wide.push_back({at[0] + (a[0] + b[0]) * share, at[1] + (a[1] + b[1]) * share});
  }
  return wide;
}

}  // namespace

std::vector<SweptSpace> sweptSpaces(const Model& model) {
  std::vector<PartMesh> meshes(model.parts.size());
  std::vector<char> moves(model.parts.size());
  for (const Instance& instance : model.instances) {
    moves[instance.part] |= instance.panel > 0 ? 1 : 0;
  }
  inParallel(static_cast<int>(meshes.size()), [&](int i) {
    if (moves[i] != 0 && model.parts[i].kind != PartKind::kRope) {
      meshes[i] = partMesh(model.parts[i].solid, {kMeshDeflectionMm});
    }
  });
  std::map<int, std::map<int, Seen>> panels;  // by panel, by body
  for (const Instance& instance : model.instances) {
    if (instance.panel == 0) {
      continue;
    }
    Seen& seen = panels[instance.panel][instance.body];
    for (const Vec3& corner : cornersOf(model, instance, meshes[instance.part])) {
      seen.hull.push_back({corner[0], corner[2]});
      seen.low_y_mm = std::min(seen.low_y_mm, corner[1]);
      seen.high_y_mm = std::max(seen.high_y_mm, corner[1]);
    }
    seen.hull = hullOf(std::move(seen.hull));
  }
  const std::vector<double> positions = positionsOf(model);
  std::vector<SweptSpace> spaces;
  for (const auto& [panel, bodies] : panels) {
    SweptSpace space;
    space.panel = panel;
    space.low_y_mm = std::numeric_limits<double>::max();
    space.high_y_mm = std::numeric_limits<double>::lowest();
    std::vector<FrontPoint> swept;
    for (const auto& [body, seen] : bodies) {
      space.low_y_mm = std::min(space.low_y_mm, seen.low_y_mm - kSweptMarginMm);
      space.high_y_mm = std::max(space.high_y_mm, seen.high_y_mm + kSweptMarginMm);
      for (const double drive_mm : positions) {
        const Pose pose = model.poseAt(body, drive_mm);
        for (const FrontPoint& corner : seen.hull) {
          const auto at = carried(pose, {corner[0], 0, corner[1]});
          swept.push_back({at[0], at[2]});
        }
        if (swept.size() > kMostBeforeHull) {
          swept = hullOf(std::move(swept));
        }
      }
    }
    space.outline_mm = widened(fewer(hullOf(std::move(swept))), kSweptMarginMm);
    spaces.push_back(std::move(space));
  }
  return spaces;
}

TopoDS_Shape solidOf(const SweptSpace& space) {
  std::vector<Point2> corners;
  for (const auto& [x, z] : space.outline_mm) {
    corners.push_back({x, z});
  }
  return prism(Plane::kXZ, Outline::polygon(corners), {space.low_y_mm, space.high_y_mm});
}

}  // namespace leafstack
