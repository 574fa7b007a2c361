#include "exporters/cad/bcf/bcf_view.h"

#include <algorithm>
#include <cmath>

#include "generator/occt/checked.h"

namespace leafstack {
namespace {

// The view shows the clash this many times over, so that the parts round it can be recognised ...
constexpr double kShownTimes = 6;
// ... but no less than a hand's breadth round it and no more than a gate's height.
constexpr double kLeastViewMm = 400;
constexpr double kMostViewMm = 2500;
// In front of whatever stands foremost: the camera is outside, not in a panel.
constexpr double kOutsideMm = 500;

Vec3 unit(const Vec3& v) {
  return plus({0, 0, 0}, v, 1 / norm(v));
}

Vec3 middle(const Vec3& p, const Vec3& q) {
  return plus(p, minus(q, p), 0.5);
}

/// How large what there is to see is.
double extentMm(const Finding& finding) {
  double extent = norm(minus(finding.points_mm[0], finding.points_mm[1]));
  if (!finding.overlap.IsNull()) {
    const Bounds bounds = tightBounds(finding.overlap);
    extent = std::max(extent, norm(minus(bounds.high, bounds.low)));
  }
  return extent;
}

/// Of everything, across the track: nothing moves that way.
std::array<double, 2> stackY(const Model& model) {
  std::array<double, 2> y = {model.instances.front().bounds.low[kAlongY],
                             model.instances.front().bounds.high[kAlongY]};
  for (const Instance& instance : model.instances) {
    y[0] = std::min(y[0], instance.bounds.low[kAlongY]);
    y[1] = std::max(y[1], instance.bounds.high[kAlongY]);
  }
  return y;
}

}  // namespace

BcfCamera cameraAt(const Model& model, const Finding& finding) {
  const Vec3 target = middle(finding.points_mm[0], finding.points_mm[1]);
  const auto [road, property] = stackY(model);
  const double side = property - target[kAlongY] < target[kAlongY] - road ? 1 : -1;
  // Mostly straight at the gate, from above, and against the opening direction.
  const Vec3 back = unit({-0.35 * model.opening_sign, 0.85 * side, 0.4});
  const double view = std::clamp(kShownTimes * extentMm(finding), kLeastViewMm, kMostViewMm);
  // Half the view under half of 60 degrees, whose tangent is 1 / sqrt 3.
  const double far_enough = view / 2 * std::sqrt(3.0);
  const double outside =
      (side > 0 ? property - target[kAlongY] : target[kAlongY] - road) + kOutsideMm;
  const double distance = std::max(far_enough, outside / std::abs(back[kAlongY]));
  BcfCamera camera;
  camera.distance_mm = distance;
  camera.eye_mm = plus(target, back, distance);
  camera.direction = minus({0, 0, 0}, back);
  // The vertical, less its part along the line of sight.
  camera.up = unit(plus({0, 0, 1}, back, -back[kAlongZ]));
  return camera;
}

}  // namespace leafstack
