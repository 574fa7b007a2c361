#include "generator/shop/flat/hole_edges.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "generator/geometry/numbers.h"
#include "params/catalogue/holes.h"

namespace leafstack {
namespace {

constexpr double kNoEdgeMm = std::numeric_limits<double>::infinity();

double toSegmentMm(const ProfileVertex& from, const ProfileVertex& to, double x, double y) {
  const double dx = to.x_mm - from.x_mm, dy = to.y_mm - from.y_mm;
  const double square = dx * dx + dy * dy;
  const double along = square > 0 ? ((x - from.x_mm) * dx + (y - from.y_mm) * dy) / square : 0;
  const double at = std::clamp(along, 0.0, 1.0);
  return std::hypot(x - from.x_mm - at * dx, y - from.y_mm - at * dy);
}

/// Of arcs the chord: nearer to a hole beside it than a corner rounded off, by less than its rise.
double toOutlineMm(const ProfileLoop& outline, double x, double y) {
  if (outline.is_circle) {
    return outline.radius_mm - std::hypot(x - outline.x_mm, y - outline.y_mm);
  }
  double least = kNoEdgeMm;
  for (std::size_t i = 0; i < outline.vertices.size(); ++i) {
    const ProfileVertex& next = outline.vertices[(i + 1) % outline.vertices.size()];
    least = std::min(least, toSegmentMm(outline.vertices[i], next, x, y));
  }
  return least;
}

/// From the hole's edge to where the fold's arc begins.
double toFoldsMm(const FlatProfile& profile, const BendRule& rule, const ProfileLoop& hole) {
  double least = kNoEdgeMm;
  for (const BendLine& bend : profile.bends) {
    const double half = bendAllowanceMm(bend.angle_deg, profile.thickness_mm, rule) / 2;
    least = std::min(least, std::abs(hole.x_mm - bend.x_mm) - half - hole.radius_mm);
  }
  return least;
}

void keepWorse(std::optional<NearHole>& worst, const NearHole& hole) {
  const auto share = [](const NearHole& one) { return one.is_mm / one.least_mm; };
  if (hole.is_mm < hole.least_mm - kLengthEqualMm && (!worst || share(hole) < share(*worst))) {
    worst = hole;
  }
}

}  // namespace

std::vector<NearHole> nearHoles(const FlatProfile& profile, const BendRule& rule) {
  std::optional<NearHole> edge, fold;
  for (std::size_t i = 1; i < profile.loops.size(); ++i) {
    const ProfileLoop& hole = profile.loops[i];
    if (!hole.is_circle) {
      continue;
    }
    const double wide = 2 * hole.radius_mm;
    keepWorse(edge, {wide, toOutlineMm(profile.loops.front(), hole.x_mm, hole.y_mm),
                     leastHoleEdge_mm(wide), false});
    if (!profile.bends.empty()) {
      keepWorse(fold, {wide, toFoldsMm(profile, rule, hole),
                       leastHoleOffFold_mm(profile.thickness_mm, rule.radius_mm), true});
    }
  }
  std::vector<NearHole> near;
  for (const std::optional<NearHole>& one : {edge, fold}) {
    if (one) {
      near.push_back(*one);
    }
  }
  return near;
}

}  // namespace leafstack
