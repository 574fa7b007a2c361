// Numbers as outputs show them.
#pragma once

#include <string>

namespace leafstack {

/// To a millionth (of a mm, kg ...): hides what rounding in the arithmetic leaves (2999.9999999),
/// never what a shop could measure. Never -0. Throws ExportError for NaN and infinity.
double roundedToMillionth(double value);

/// Fixed number of decimals, for tables; never "-0.0".
std::string fixedDecimals(double value, int decimals);

}  // namespace leafstack
