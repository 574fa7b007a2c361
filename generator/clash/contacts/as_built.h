// The gate as it may be built: every panel out of place by up to the build tolerance.
#pragma once

#include <vector>

#include "generator/clash/placed/placed.h"
#include "generator/clash/report/clash.h"

namespace leafstack {

/// Every panel may stand `tolerance_mm` out of place across the track and in height, and be as much
/// longer or shorter, at worst all against each other; what does not move stands where it is drawn.
/// Of a gate as built each body stands off by Model::off_mm, and beyond that by as much of its
/// Model::unsure_mm as `tolerance_mm` is of the greatest of those (toleranceOf()).
/// `pairs`: the undesigned pairs that move. Over the whole travel; to the meshes' fine error.
AsBuilt leastAsBuilt(PlacedShapes& shapes, const std::vector<std::array<int, 2>>& pairs,
                     double tolerance_mm);

/// The same, but only how many pairs can meet: no pair is listed.
AsBuilt countAsBuilt(PlacedShapes& shapes, const std::vector<std::array<int, 2>>& pairs,
                     double tolerance_mm);

/// The build tolerance that a check takes: the gate file's, or of a gate as built the greatest of
/// what its measurements leave unsure.
double toleranceOf(const Model& model);

}  // namespace leafstack
