#include "generator/geometry/triangles.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

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

}  // namespace leafstack
