#include "generator/occt/flat_loops.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace leafstack {

double signedAreaMm2(const std::vector<ProfileVertex>& vertices) {
  double twice = 0;
  for (std::size_t i = 0; i < vertices.size(); ++i) {
    const ProfileVertex& p = vertices[i];
    const ProfileVertex& q = vertices[(i + 1) % vertices.size()];
    twice += p.x_mm * q.y_mm - q.x_mm * p.y_mm;
    if (p.bulge != 0) {
      const double angle = 4 * std::atan(p.bulge);
      const double chord = std::hypot(q.x_mm - p.x_mm, q.y_mm - p.y_mm);
      const double radius = chord * (1 + p.bulge * p.bulge) / (4 * std::abs(p.bulge));
      twice += radius * radius * (angle - std::sin(angle));
    }
  }
  return twice / 2;
}

double ProfileLoop::areaMm2() const {
  return is_circle ? std::numbers::pi * radius_mm * radius_mm : std::abs(signedAreaMm2(vertices));
}

std::array<double, 2> ProfileLoop::extentMm() const {
  if (is_circle) {
    return {2 * radius_mm, 2 * radius_mm};
  }
  constexpr double kFar = std::numeric_limits<double>::infinity();
  std::array<double, 2> low{kFar, kFar}, high{-kFar, -kFar};
  const auto include = [&](double x, double y) {
    low = {std::min(low[0], x), std::min(low[1], y)};
    high = {std::max(high[0], x), std::max(high[1], y)};
  };
  for (std::size_t i = 0; i < vertices.size(); ++i) {
    const ProfileVertex& from = vertices[i];
    const ProfileVertex& to = vertices[(i + 1) % vertices.size()];
    include(from.x_mm, from.y_mm);
    // An arc's middle: its bulge is its height over half its chord, to the right of the way.
    include((from.x_mm + to.x_mm + from.bulge * (to.y_mm - from.y_mm)) / 2,
            (from.y_mm + to.y_mm - from.bulge * (to.x_mm - from.x_mm)) / 2);
  }
  return {high[0] - low[0], high[1] - low[1]};
}

double FlatProfile::smallestHoleMm() const {
  double least = 0;
  for (std::size_t i = 1; i < loops.size(); ++i) {
    const std::array<double, 2> extent = loops[i].extentMm();
    const double across = std::min(extent[0], extent[1]);
    least = least == 0 ? across : std::min(least, across);
  }
  return least;
}

double bendAllowanceMm(double angle_deg, double thickness_mm, const BendRule& rule) {
  return angle_deg * std::numbers::pi / 180 * (rule.radius_mm + rule.k_factor * thickness_mm);
}

}  // namespace leafstack
