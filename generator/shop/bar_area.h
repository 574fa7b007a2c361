// Section of a bar or board as it is bought, before anything is cut out of it.
#pragma once

#include <algorithm>
#include <numbers>
#include <string>
#include <variant>

#include "generator/layout/figures/sections.h"
#include "params/catalogue/bars.h"
#include "params/spec/section.h"

namespace leafstack {

/// Of a section as the cut list writes it, mm2: hollow sections, rounds, squares, flats, angles
/// with sharp corners, boards. 0 of what is turned from something larger, and of anything else.
inline double barAreaMm2(const std::string& section) {
  const auto hollow = parseSection(section);
  if (const auto* tube = std::get_if<HollowSection>(&hollow)) {
    return bendingAcross(*tube).area_mm2;
  }
  const std::vector<double> sizes = sizesIn(section);
  if (section.starts_with("round ") && sizes.size() == 1) {
    return std::numbers::pi / 4 * sizes[0] * sizes[0];
  }
  if (section.starts_with("square ") && sizes.size() == 1) {
    return sizes[0] * sizes[0];
  }
  if ((section.starts_with("flat ") || section.starts_with("timber ")) && sizes.size() == 2) {
    return sizes[0] * sizes[1];
  }
  if (section.starts_with("angle ") && sizes.size() == 3) {
    return sizes[2] * (sizes[0] + sizes[1] - sizes[2]);
  }
  return 0;
}

}  // namespace leafstack
