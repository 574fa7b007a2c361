#include "exporters/cad/palette.h"

#include <utility>

namespace leafstack {

Rgb materialColour(std::string_view material) {
  static constexpr std::pair<std::string_view, Rgb> kPalette[] = {
      {"steel", {0.36, 0.43, 0.49}},     {"stainless steel", {0.70, 0.73, 0.76}},
      {"aluminium", {0.77, 0.80, 0.82}}, {"timber", {0.71, 0.52, 0.33}},
      {"nylon", {0.93, 0.91, 0.84}},     {"rubber", {0.16, 0.16, 0.18}},
      {"rope", {0.83, 0.55, 0.20}},      {"site", {0.58, 0.57, 0.55}},
      {"concrete", {0.66, 0.65, 0.62}},  {"cast iron", {0.29, 0.30, 0.33}},
      {"envelope", {0.24, 0.47, 0.55}}};
  static constexpr Rgb kNeutral = {0.60, 0.60, 0.60};
  for (const auto& [name, colour] : kPalette) {
    if (name == material) {
      return colour;
    }
  }
  return kNeutral;
}

}  // namespace leafstack
