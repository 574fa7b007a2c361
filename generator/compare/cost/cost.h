// What an arrangement costs by a price list.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace leafstack {

struct CostLine {
  std::string what;
  double quantity = 0;
  std::string unit;  ///< "kg", "m", "", "m3", "h"
  double price = 0, cost = 0;
};

struct Cost {
  double material = 0, items = 0, digging = 0, labour = 0;
  std::vector<CostLine> lines;        ///< in words only
  std::vector<std::string> unpriced;  ///< in words only: what has no price
  std::size_t missing = 0;            ///< so many things have no price
  bool is_complete() const { return missing == 0; }
  double total() const { return material + items + digging + labour; }
};

}  // namespace leafstack
