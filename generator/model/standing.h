// Two solids where they stand.
#pragma once

#include "generator/geometry/mesh/mesh.h"

namespace leafstack {

/// Are the solids no further apart than `gap_mm`, to their meshes' error? Touch and overlap count.
/// `b` stands `apart_mm` out of where its mesh has it in the frame of a's.
bool standWithin(const TriangleMesh& a, const TriangleMesh& b, const Vec3& apart_mm, double gap_mm);

}  // namespace leafstack
