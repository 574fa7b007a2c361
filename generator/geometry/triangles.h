// Points, rays and triangles in space.
#pragma once

#include <array>

#include "generator/geometry/vec.h"

namespace leafstack {

using Triangle = std::array<Vec3, 3>;

/// Nearest point of a triangle to `point` (Ericson, Real-Time Collision Detection, 5.1.5).
Vec3 nearestOnTriangle(const Vec3& point, const Triangle& triangle);

/// True when the segment crosses the triangle, ends included.
bool segmentCrosses(const std::array<Vec3, 2>& segment, const Triangle& triangle, Vec3& at);

}  // namespace leafstack
