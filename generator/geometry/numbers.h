// Numbers in sentences: no trailing zeros. What turns one unit into another.
#pragma once

#include <numbers>
#include <string>

namespace leafstack {

inline constexpr double kMmPerM = 1000;
inline constexpr double kDegreesPerRadian = 180 / std::numbers::pi;
inline constexpr double kQuarter = std::numbers::pi / 2;  ///< of a turn, radians

/// Lengths closer than this are the same length: far below any shop tolerance, far above rounding.
inline constexpr double kLengthEqualMm = 1e-6;

/// 3184 -> "3184", 11.5 -> "11.5", 0.004 -> "0". Never "-0".
std::string shown(double value, int decimals = 2);

}  // namespace leafstack
