// Holes of plates that stand nearer to an edge or to a fold than they may.
#pragma once

#include <vector>

#include "generator/occt/flat_loops.h"

namespace leafstack {

struct NearHole {
  double hole_mm = 0;   ///< diameter
  double is_mm = 0;     ///< its middle from the outline, or its edge from where a fold begins
  double least_mm = 0;  ///< what that should be: params/catalogue/holes.h
  bool is_to_fold = false;
};

/// The worst hole of a profile by each of the two rules, as shares of what it should be; none where
/// all have room. Round holes alone: what else is cut out of a plate takes no bolt.
std::vector<NearHole> nearHoles(const FlatProfile& profile, const BendRule& rule);

}  // namespace leafstack
