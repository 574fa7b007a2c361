// What would make an arrangement fit, the smallest change first.
#pragma once

#include "generator/compare/arrangements.h"

namespace leafstack {

inline constexpr std::size_t kMostFixes = 3;

/// Up to kMostFixes for every arrangement that does not fit the room: another mount, another motor,
/// both, less tuck, less overlap, smaller hardware (one number changed, to the mm), flush stacking,
/// another panel. `comparison` is complete but for these.
void findFixes(SiteComparison& comparison);

}  // namespace leafstack
