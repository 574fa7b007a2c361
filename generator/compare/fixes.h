// What would make an arrangement fit, the smallest change first.
#pragma once

#include "generator/compare/arrangement.h"

namespace leafstack {

inline constexpr std::size_t kMostFixes = 3;

/// Up to kMostFixes for every arrangement that does not fit the room: another mount, another motor,
/// both, less tuck, less overlap, smaller hardware (one number changed, to the mm), flush stacking,
/// another panel. `comparison` is complete but for these.
void findFixes(SiteComparison& comparison);

/// Up to kMostFixes for the gate file's own arrangement, which `layout` is of: one number changed,
/// or no return. Each has been laid out and fits; its last override is that number.
std::vector<Fix> numberFixes(const SiteComparison& comparison, const Layout& layout);

}  // namespace leafstack
