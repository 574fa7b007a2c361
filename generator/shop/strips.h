// Strips that are cut from sheet by their length and bent afterwards.
#pragma once

#include <algorithm>
#include <string_view>
#include <vector>

#include "params/catalogue/bars.h"

namespace leafstack {

/// "strip 15x1.5 of sheet, bent to radius 40 inside".
inline bool isStrip(std::string_view section) {
  return section.starts_with("strip ");
}
struct StripSizes {
  double wide_mm = 0, thick_mm = 0;
};
inline StripSizes stripSizes(std::string_view section) {
  const std::vector<double> sizes = sizesIn(section);
  return {std::max(sizes.at(0), sizes.at(1)), std::min(sizes.at(0), sizes.at(1))};
}

}  // namespace leafstack
