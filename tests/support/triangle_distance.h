// Distance of two triangles in closed form: what the clash check's iterative one is tested against.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

#include "generator/geometry/triangles.h"

namespace leafstack {

/// Nearest approach of two triangles.
struct TriangleApproach {
  double distance_mm = std::numeric_limits<double>::infinity();  ///< 0 where they cross
  Vec3 on_a{}, on_b{};
};

/// Nearest points of two segments (Ericson, Real-Time Collision Detection, 5.1.9).
inline void nearestOnSegments(const std::array<Vec3, 2>& p, const std::array<Vec3, 2>& q,
                              TriangleApproach& found) {
  // Squared lengths below this are a point: a millionth of a millimetre.
  constexpr double kPointSquared = 1e-12;
  const Vec3 d1 = minus(p[1], p[0]);
  const Vec3 d2 = minus(q[1], q[0]);
  const Vec3 r = minus(p[0], q[0]);
  const double a = dot(d1, d1);
  const double e = dot(d2, d2);
  const double f = dot(d2, r);
  const double c = dot(d1, r);
  const double b = dot(d1, d2);
  const double parallel = a * e - b * b;
  double s = 0;
  double t = 0;
  if (a <= kPointSquared) {
    t = e <= kPointSquared ? 0 : std::clamp(f / e, 0.0, 1.0);
  } else if (e <= kPointSquared) {
    s = std::clamp(-c / a, 0.0, 1.0);
  } else {
    s = parallel > kPointSquared ? std::clamp((b * f - c * e) / parallel, 0.0, 1.0) : 0.0;
    t = (b * s + f) / e;
    if (t < 0) {
      t = 0;
      s = std::clamp(-c / a, 0.0, 1.0);
    } else if (t > 1) {
      t = 1;
      s = std::clamp((b - c) / a, 0.0, 1.0);
    }
  }
  found.on_a = plus(p[0], d1, s);
  found.on_b = plus(q[0], d2, t);
  found.distance_mm = norm(minus(found.on_a, found.on_b));
}

/// Points and segments may be given as triangles that repeat their last point.
inline TriangleApproach triangleDistance(const Triangle& a, const Triangle& b) {
  TriangleApproach best;
  const auto offer = [&](const TriangleApproach& found) {
    if (found.distance_mm < best.distance_mm) {
      best = found;
    }
  };
  for (int i = 0; i < 3; ++i) {
    const std::array<Vec3, 2> edge_a = {a[i], a[(i + 1) % 3]};
    const std::array<Vec3, 2> edge_b = {b[i], b[(i + 1) % 3]};
    Vec3 at{};
    if (segmentCrosses(edge_a, b, at) || segmentCrosses(edge_b, a, at)) {
      return {0, at, at};
    }
    for (int j = 0; j < 3; ++j) {
      TriangleApproach found;
      nearestOnSegments(edge_a, {b[j], b[(j + 1) % 3]}, found);
      offer(found);
    }
    const Vec3 on_b = nearestOnTriangle(a[i], b);
    offer({norm(minus(a[i], on_b)), a[i], on_b});
    const Vec3 on_a = nearestOnTriangle(b[i], a);
    offer({norm(minus(on_a, b[i])), on_a, b[i]});
  }
  return best;
}

}  // namespace leafstack
