#include "generator/occt/flat_loops.h"

#include <algorithm>
#include <cmath>
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

double FlatProfile::smallestHoleMm() const {
  double least = 0;
  for (std::size_t i = 1; i < loops.size(); ++i) {
    double across = 2 * loops[i].radius_mm;
    if (!loops[i].is_circle) {
      const auto [x0, x1] = std::minmax_element(
          loops[i].vertices.begin(), loops[i].vertices.end(),
          [](const ProfileVertex& p, const ProfileVertex& q) { return p.x_mm < q.x_mm; });
      const auto [y0, y1] = std::minmax_element(
          loops[i].vertices.begin(), loops[i].vertices.end(),
          [](const ProfileVertex& p, const ProfileVertex& q) { return p.y_mm < q.y_mm; });
      across = std::min(x1->x_mm - x0->x_mm, y1->y_mm - y0->y_mm);
    }
    least = least == 0 ? across : std::min(least, across);
  }
  return least;
}

double bendAllowanceMm(double angle_deg, double thickness_mm, const BendRule& rule) {
  return angle_deg * std::numbers::pi / 180 * (rule.radius_mm + rule.k_factor * thickness_mm);
}

}  // namespace leafstack
