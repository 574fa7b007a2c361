#include <algorithm>
#include <limits>

#include "exporters/bytes/export_error.h"
#include "exporters/paper/views/cut_loops.h"
#include "exporters/paper/views/hidden/view_scene.h"

namespace leafstack {
namespace {

// A plane that runs through corners of a solid is moved by this towards what is removed, so that a
// face which lies in it and looks at the eye is seen, not cut. Far below a drawing's lines.
constexpr double kNudgeMm = 1e-3;
constexpr double kOnPlaneMm = kNudgeMm / 2;
constexpr int kMostNudges = 64;
constexpr double kSquareOn = 1e-9;
constexpr double kRemoved = -std::numeric_limits<double>::infinity();

/// Depth that a solid is cut at: nothing if it lies beyond the plane, kRemoved if before it.
std::optional<double> cutDepth(const ViewSolid& solid, const ViewFrame& frame, double plane_mm) {
  std::vector<double> depths;
  for (const Vec3& point : solid.mesh().points) {
    depths.push_back(frame.point(point)[2]);
  }
  const auto [nearest, farthest] = std::minmax_element(depths.begin(), depths.end());
  if (*farthest <= plane_mm + kOnPlaneMm) {
    return std::nullopt;
  }
  if (*nearest >= plane_mm - kOnPlaneMm) {
    return kRemoved;
  }
  double depth = plane_mm;
  for (int i = 0; i < kMostNudges; ++i) {
    const bool is_clear = std::none_of(
        depths.begin(), depths.end(), [&](double at) { return std::abs(at - depth) < kOnPlaneMm; });
    if (is_clear) {
      break;
    }
    depth += kNudgeMm;
  }
  return depth;
}

/// A loop's pieces, so that nothing is drawn on them.
void addTaken(const std::vector<PathVertex>& loop, std::vector<DrawnStretch>& stretches) {
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const PathVertex& a = loop[i];
    const PathVertex& b = loop[(i + 1) % loop.size()];
    DrawnStretch taken;
    taken.is_taken = true;
    taken.from = {a.x_mm, a.y_mm};
    taken.to = {b.x_mm, b.y_mm};
    if (a.bulge != 0) {
      const double half = 2 * std::atan(a.bulge);
      const double x = (b.x_mm - a.x_mm) / 2;
      const double y = (b.y_mm - a.y_mm) / 2;
      const double radius = std::hypot(x, y) / std::abs(std::sin(half));
      taken.is_arc = true;
      taken.ring.centre = {a.x_mm + x - y / std::tan(half), a.y_mm + y + x / std::tan(half)};
      taken.ring.axis = {1, 0};
      taken.ring.along = taken.ring.across = radius;
      const double start = std::atan2(a.y_mm - taken.ring.centre[1], a.x_mm - taken.ring.centre[0]);
      taken.angles = {std::min(start, start + 2 * half), std::max(start, start + 2 * half)};
    }
    stretches.push_back(taken);
  }
}

}  // namespace

CutView cutView(const std::vector<PlacedViewSolid>& solids, const PictureView& view,
                const CutPlane& plane, const ViewOptions& options) {
  const double length = norm(plane.normal);
  if (!(dot(plane.normal, view.toward) > (1 - kSquareOn) * length)) {
    throw ExportError("drawing: a cut is to be seen against its plane's normal");
  }
  std::vector<std::optional<double>> depths;
  std::vector<DrawnStretch> taken;
  CutView cut;
  for (std::size_t i = 0; i < solids.size(); ++i) {
    const ViewFrame frame(view, solids[i].location);
    depths.push_back(cutDepth(*solids[i].solid, frame, plane.offset_mm / length));
    if (!depths.back() || *depths.back() == kRemoved || solids[i].is_silent) {
      continue;
    }
    CutFace face;
    face.solid = static_cast<int>(i);
    face.loops = cutLoops(*solids[i].solid, frame, *depths.back());
    for (const auto& loop : face.loops) {
      face.area_mm2 += signedAreaMm2(loop);
      addTaken(loop, taken);
    }
    if (!face.loops.empty()) {
      cut.faces.push_back(std::move(face));
    }
  }
  std::vector<DrawnStretch> stretches =
      stretchesSeen(solids, view, [&](int solid) { return depths[solid]; });
  stretches.insert(stretches.end(), taken.begin(), taken.end());
  cut.behind = finished(stretches, options);
  return cut;
}

}  // namespace leafstack
