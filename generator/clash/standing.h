// Two solids where they stand.
#pragma once

#include "generator/clash/mesh.h"

namespace leafstack {

/// Are the solids no further apart than `gap_mm`, to their meshes' error? Touch and overlap count.
/// Both meshes are in one frame.
bool standWithin(const TriangleMesh& a, const TriangleMesh& b, double gap_mm);

}  // namespace leafstack
