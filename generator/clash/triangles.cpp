#include "generator/clash/triangles.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

// Squared lengths below this are a point: a millionth of a millimetre.
constexpr double kPointSquared = 1e-12;

double squared(const Vec3& v) {
  return dot(v, v);
}

}  // namespace

Vec3 nearestOnTriangle(const Vec3& point, const Triangle& t) {
  const Vec3 ab = minus(t[1], t[0]);
  const Vec3 ac = minus(t[2], t[0]);
  const Vec3 ap = minus(point, t[0]);
  const double d1 = dot(ab, ap);
  const double d2 = dot(ac, ap);
  if (d1 <= 0 && d2 <= 0) {
    return t[0];
  }
  const Vec3 bp = minus(point, t[1]);
  const double d3 = dot(ab, bp);
  const double d4 = dot(ac, bp);
  if (d3 >= 0 && d4 <= d3) {
    return t[1];
  }
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) {
    return plus(t[0], ab, d1 / (d1 - d3));
  }
  const Vec3 cp = minus(point, t[2]);
  const double d5 = dot(ab, cp);
  const double d6 = dot(ac, cp);
  if (d6 >= 0 && d5 <= d6) {
    return t[2];
  }
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) {
    return plus(t[0], ac, d2 / (d2 - d6));
  }
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    return plus(t[1], minus(t[2], t[1]), (d4 - d3) / ((d4 - d3) + (d5 - d6)));
  }
  const double whole = va + vb + vc;
  return plus(plus(t[0], ab, vb / whole), ac, vc / whole);
}

void nearestOnSegments(const std::array<Vec3, 2>& p, const std::array<Vec3, 2>& q, Vec3& on_p,
                       Vec3& on_q) {
  const Vec3 d1 = minus(p[1], p[0]);
  const Vec3 d2 = minus(q[1], q[0]);
  const Vec3 r = minus(p[0], q[0]);
  const double a = squared(d1);
  const double e = squared(d2);
  const double f = dot(d2, r);
  double s = 0;
  double t = 0;
  if (a <= kPointSquared) {
    t = e <= kPointSquared ? 0 : std::clamp(f / e, 0.0, 1.0);
  } else {
    const double c = dot(d1, r);
    if (e <= kPointSquared) {
      s = std::clamp(-c / a, 0.0, 1.0);
    } else {
      const double b = dot(d1, d2);
      const double parallel = a * e - b * b;
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
  }
  on_p = plus(p[0], d1, s);
  on_q = plus(q[0], d2, t);
}

bool segmentCrosses(const std::array<Vec3, 2>& segment, const Triangle& t, Vec3& at) {
  const Vec3 ab = minus(t[1], t[0]);
  const Vec3 ac = minus(t[2], t[0]);
  const Vec3 direction = minus(segment[1], segment[0]);
  const Vec3 normal = cross(ab, ac);
  const double across = dot(direction, normal);
  if (across == 0) {
    return false;  // parallel: the edges decide
  }
  const double along = dot(minus(t[0], segment[0]), normal) / across;
  if (along < 0 || along > 1) {
    return false;
  }
  at = plus(segment[0], direction, along);
  const Vec3 ap = minus(at, t[0]);
  const double area = squared(normal);
  const double v = dot(cross(ap, ac), normal) / area;
  const double w = dot(cross(ab, ap), normal) / area;
  return v >= 0 && w >= 0 && v + w <= 1;
}

Approach nearestApproach(const Triangle& a, const Triangle& b) {
  Approach best;
  double best_squared = best.distance_mm;
  const auto offer = [&](const Vec3& on_a, const Vec3& on_b) {
    const double found = squared(minus(on_a, on_b));
    if (found < best_squared) {
      best_squared = found;
      best.on_a = on_a;
      best.on_b = on_b;
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
      Vec3 on_a{};
      Vec3 on_b{};
      nearestOnSegments(edge_a, {b[j], b[(j + 1) % 3]}, on_a, on_b);
      offer(on_a, on_b);
    }
    offer(a[i], nearestOnTriangle(a[i], b));
    offer(nearestOnTriangle(b[i], a), b[i]);
  }
  best.distance_mm = std::sqrt(best_squared);
  return best;
}

}  // namespace leafstack
