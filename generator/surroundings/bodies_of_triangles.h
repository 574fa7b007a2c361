// Loose triangles as closed bodies.
#pragma once

#include <string>
#include <vector>

#include "generator/geometry/mesh/part_mesh.h"
#include "generator/surroundings/triangle_files.h"

namespace leafstack {

/// Bodies, each closed and outward, or why they are none.
struct ClosedBodies {
  std::vector<PartMesh> bodies;
  std::string fault;
};

/// Corners that are equal are one point; what hangs together by points is one body. One that is
/// inside out is turned.
ClosedBodies closedBodies(const LooseTriangles& loose, double mm_per_unit);

}  // namespace leafstack
