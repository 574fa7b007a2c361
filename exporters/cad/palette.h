// Colours of parts in every output, by what they are made of.
#pragma once

#include <array>
#include <string_view>

namespace leafstack {

/// sRGB, 0 to 1. Unknown materials get a neutral grey.
using Rgb = std::array<double, 3>;
Rgb materialColour(std::string_view material);

}  // namespace leafstack
