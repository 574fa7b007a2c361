// The small gates that a shelf's items are looked for on.
#pragma once

#include <string_view>
#include <vector>

#include "params/table/parameter.h"

namespace leafstack {

/// Like `spec`, whose "auto"s are given: with each mount, with three panels; most telling first.
std::vector<GateSpec> smallGates(GateSpec spec);

/// A gate with a kind that the shelf has the sizes of and does not use, so that rows of a wheel's
/// carrier have their letter though the wheels are in the rail; last, one without ropes.
struct OtherKind {
  std::vector<std::string_view> groups;  ///< whose rows it shows
  GateSpec spec;
};
std::vector<OtherKind> gatesOfOtherKinds(const GateSpec& spec);

/// Whether its shelf fits together.
bool keepsShelfRules(const GateSpec& spec);

}  // namespace leafstack
