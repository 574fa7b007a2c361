// Numbers in sentences: no trailing zeros.
#pragma once

#include <string>

namespace leafstack {

/// 3184 -> "3184", 11.5 -> "11.5", 0.004 -> "0". Never "-0".
std::string shown(double value, int decimals = 2);

}  // namespace leafstack
