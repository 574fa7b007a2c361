// Points and vectors in space.
#pragma once

#include <array>
#include <cmath>

namespace leafstack {

using Vec3 = std::array<double, 3>;

inline Vec3 minus(const Vec3& p, const Vec3& q) {
  return {p[0] - q[0], p[1] - q[1], p[2] - q[2]};
}
inline Vec3 plus(const Vec3& p, const Vec3& q, double factor = 1) {
  return {p[0] + factor * q[0], p[1] + factor * q[1], p[2] + factor * q[2]};
}
inline double dot(const Vec3& p, const Vec3& q) {
  return p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
}
inline Vec3 cross(const Vec3& p, const Vec3& q) {
  return {p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]};
}
inline double norm(const Vec3& v) {
  return std::sqrt(dot(v, v));
}

}  // namespace leafstack
