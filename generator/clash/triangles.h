// Distances between points, segments and triangles in space.
#pragma once

#include <array>

#include "generator/clash/mesh.h"

namespace leafstack {

using Triangle = std::array<Vec3, 3>;

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

/// Nearest point of a triangle to `point` (Ericson, Real-Time Collision Detection, 5.1.5).
Vec3 nearestOnTriangle(const Vec3& point, const Triangle& triangle);

/// Nearest points of two segments (ibid. 5.1.9).
void nearestOnSegments(const std::array<Vec3, 2>& p, const std::array<Vec3, 2>& q, Vec3& on_p,
                       Vec3& on_q);

/// Nearest approach of two triangles; exactly 0 where they cross.
Approach nearestApproach(const Triangle& a, const Triangle& b);

/// True when the segment crosses the triangle, ends included.
bool segmentCrosses(const std::array<Vec3, 2>& segment, const Triangle& triangle, Vec3& at);

}  // namespace leafstack
