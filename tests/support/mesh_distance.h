// Distances of whole meshes, for tests that need one and nothing of the sweep.
#pragma once

#include <TopLoc_Location.hxx>
#include <limits>

#include "generator/geometry/mesh/mesh.h"
#include "generator/geometry/moving/sweep.h"

namespace leafstack {

inline TriangleMesh placedMesh(const TopoDS_Shape& solid, const TopLoc_Location& at = {},
                               double deflection_mm = kMeshDeflectionMm) {
  return TriangleMesh(solid, at.Transformation(), deflection_mm);
}

/// Nearest approach with `b` shifted by `shift_x` along X.
inline Clearance nearest(const HullTree& a, const HullTree& b, double shift_x = 0) {
  const StraightMotion still({0, 0, 0});
  return leastClearance({a, b, {shift_x, 0, 0}, still, {}}, {0, 0},
                        {std::numeric_limits<double>::infinity()});
}

}  // namespace leafstack
