// Hollow-section designations: "RHS 100x50x3", "SHS 50x50x3".
#pragma once

#include <string>
#include <string_view>
#include <variant>

#include "params/spec/gate_spec.h"

namespace leafstack {

inline constexpr double kLeastSide_mm = 15;
inline constexpr double kGreatestSide_mm = 200;
inline constexpr double kLeastWall_mm = 1;
inline constexpr double kGreatestWall_mm = 10;

/// Outer corner radius of a cold-formed section, EN 10219-2: twice the wall up to 6 mm, 2.5 times
/// above.
double outerCornerRadius_mm(double wall_mm);

struct SectionFault {
  std::string message;  ///< continues the quoted value: "is not a hollow section"
  std::string suggestion;
};

/// Reads a designation. Letter case, spaces between the parts and "×" for "x" don't matter;
/// "SHS 50x3" is short for "SHS 50x50x3"; a square RHS is called SHS. Both sides 15 to 200 mm, wall
/// 1 to 10 mm, and the rounded corners must leave some flat on either side.
std::variant<HollowSection, SectionFault> parseSection(std::string_view designation);

/// "RHS 100x50x3", "SHS 50x50x3": by the sizes.
std::string designationOf(const HollowSection& section);

/// Regular expression (ECMA-262) of what parseSection understands; sizes are checked by it alone.
std::string_view sectionPattern();

/// "15 to 200 mm sides ...": for messages and documentation.
std::string sectionAllowed();

}  // namespace leafstack
