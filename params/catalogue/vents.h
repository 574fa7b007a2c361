// What hot-dip galvanising asks of hollow sections, and leaves on them.
#pragma once

#include "params/spec/gate_spec.h"

namespace leafstack {

/// Least diameter of `holes` (1, 2 or 4) equal holes at each closed end of a hollow section, so
/// that pickling fluid, air and zinc pass: a galvaniser's table after EN ISO 14713-2 (row G1), up
/// to members of 2.8 m; longer ones, and sections larger than the table's, get 30 % of the hollow's
/// cross-section; never under 10 mm nor the wall. 0 where the table has no such number of holes.
double leastVent_mm(const HollowSection& section, double length_mm, int holes);

/// Least mean thickness of the zinc by the steel's, EN ISO 1461 as quoted (row G2), micrometres.
double zincCoat_um(double steel_mm);

/// Thicker against thinner steel welded into one piece beyond which it distorts in the bath (row
/// G1).
inline constexpr double kMostThicknessRatio = 4;

}  // namespace leafstack
