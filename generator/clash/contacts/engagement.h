// Does what slides or rolls stay on, or in, what it runs on?
#pragma once

#include <vector>

#include "generator/clash/placed/placed.h"

namespace leafstack {

/// Drive travel over which the core has left past the low or the high end of what holds it.
struct OffEnds {
  std::vector<Stretch> low, high;
};

/// The middle `core_mm` of the engagement's inner instance against `held_by`, bounds in outer's own
/// frame, along an axis of that. Ends of stretches are exact to rounding where the two go straight,
/// found to kStretchEndMm where not.
OffEnds whereOff(const PlacedShapes& shapes, const Engagement& engagement, int outer,
                 const Bounds& held_by);

}  // namespace leafstack
