// The shelf's rows of the gate file's table.
#pragma once

#include <span>
#include <string>

#include "params/table/parameter.h"

namespace leafstack {

/// The rows of /hardware, parents before children.
std::span<const Parameter> hardwareRows();

/// All sizes of the shelf, exactly, as one word: equal for equal shelves, and else different as
/// surely as a hash of 128 bits can tell.
std::string shelfWord(GateSpec spec);

}  // namespace leafstack
