// The shelf as a word of a part's identity.
#pragma once

#include <string>

#include "params/spec/gate_spec.h"

namespace leafstack {

/// All sizes of the shelf, exactly, as one word: equal for equal shelves, and else different as
/// surely as a hash of 128 bits can tell.
std::string shelfWord(GateSpec spec);

}  // namespace leafstack
