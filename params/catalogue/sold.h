// Whether merchants keep a section, and which is the next one that they do.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace leafstack {

/// Of a section of steel or aluminium that no table of this program's has: what to take instead,
/// "SHS 70x70x4". Hollow sections and angles of aluminium have tables of their own; flats, rounds
/// and plates are kept in the sizes of steel's (from memory). None for what is sold, and where no
/// table says: larger than any of it, timber, blocks, folded parts.
std::optional<std::string> soldInstead(std::string_view section, std::string_view material);

/// Least side, no less than `along_mm`, of a hollow section that is sold with the other side
/// `across_mm` and the same wall; `along_mm` itself where there is none.
double soldBeside_mm(double along_mm, double across_mm, double wall_mm);

}  // namespace leafstack
