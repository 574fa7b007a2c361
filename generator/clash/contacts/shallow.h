// Is a designed contact no deeper than it may be?
#pragma once

#include "generator/clash/placed/placed.h"

namespace leafstack {

/// A contact is judged to hold, and to be no deeper than it may, to within this: all of it is what
/// coarse meshes of round parts may err.
inline constexpr double kContactToleranceMm = kThinnerMm;

/// Whether it is proved to be, over `stretch`; no, where the effort was used up first.
bool isShallow(PlacedShapes& shapes, const Contact& contact, const Stretch& stretch,
               Effort& effort);

}  // namespace leafstack
