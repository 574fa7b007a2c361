#include "params/catalogue/welds.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace leafstack {

double leastFilletLeg_mm(double thicker_mm) {
  if (thicker_mm < 6) {
    return 3;
  }
  return thicker_mm <= 12 ? 5 : thicker_mm <= 20 ? 6 : 8;
}

double filletLeg_mm(double one_mm, double other_mm) {
  return std::min({leastFilletLeg_mm(std::max(one_mm, other_mm)), one_mm, other_mm});
}

double filletLegFor_mm(double one_mm, double other_mm, double line_N_mm, double strength_N_mm2) {
  constexpr double kStep_mm = 0.5;  // what a welder is told and can hold
  const double wanted = line_N_mm * std::numbers::sqrt2 / strength_N_mm2;
  const double utmost =
      std::floor(std::min(one_mm, other_mm) * std::numbers::sqrt2 / kStep_mm) * kStep_mm;
  return std::max(filletLeg_mm(one_mm, other_mm),
                  std::min(std::ceil(wanted / kStep_mm) * kStep_mm, utmost));
}

double filletStrength_N_mm2(std::string_view material) {
  constexpr double kGamma = 1.25;
  constexpr double kSteel = 360 / 0.8, kAluminium = 160;
  return (material == "aluminium" ? kAluminium : kSteel) / (std::numbers::sqrt3 * kGamma);
}

double socketRoom_mm(double hole_mm) {
  constexpr std::array<std::array<double, 2>, 4> kByHole = {
      {{9, 11}, {12, 13.5}, {14, 15}, {18, 19}}};
  constexpr double kOfLargerHole = 1.1;  // in proportion
  for (const auto& [hole, room] : kByHole) {
    if (hole_mm <= hole) {
      return room;
    }
  }
  return kOfLargerHole * hole_mm;
}

}  // namespace leafstack
