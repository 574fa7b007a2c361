// The small gates that a shelf's items are looked for on.
#pragma once

#include <vector>

#include "params/table/parameter.h"

namespace leafstack {

/// Like `spec`, whose "auto"s are given: with each mount, with three panels, with one; most telling
/// first.
std::vector<GateSpec> smallGates(GateSpec spec);

/// The same with kinds that the shelf has the sizes of and does not use: rows of a wheel's carrier
/// have their letter though the wheels are in the rail.
std::vector<GateSpec> gatesOfOtherKinds(const GateSpec& spec);

/// Whether its shelf fits together.
bool keepsShelfRules(const GateSpec& spec);

}  // namespace leafstack
