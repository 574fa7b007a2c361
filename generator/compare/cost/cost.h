// What an arrangement costs by a price list, and the carbon in its materials by that list's
// factors.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "generator/compare/cost/decimal.h"

namespace leafstack {

struct CostLine {
  std::string what;
  Amount quantity;
  std::string unit;  ///< "kg", "m", "", "m3", "h"
  Price price;
  Money cost;
};

struct Cost {
  Money material, items, digging, labour;
  std::vector<CostLine> lines;        ///< in words only
  std::vector<std::string> unpriced;  ///< in words only: what has no price
  std::size_t missing = 0;            ///< so many things have no price
  /// kg of CO2 equivalent, of metal and timber; none where the list has no factor for one of them.
  std::optional<Amount> carbon_kg;
  bool is_complete() const { return missing == 0; }
  /// Of what has a price.
  Money total() const { return material + items + digging + labour; }
};

}  // namespace leafstack
