#pragma once

#include <span>

#include "params/table/table.h"

namespace leafstack {

/// A hollow section's limits are in section.h, a group has none: their rows carry these.
inline constexpr Limits kNoLimits = {};
/// Of what has no place in a specification.
inline Slot nowhere(GateSpec&) {
  return std::monostate{};
}

/// The rows of /hardware, parents before children.
std::span<const Parameter> hardwareRows();

}  // namespace leafstack
