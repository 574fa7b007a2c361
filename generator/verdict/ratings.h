// What each item of the shelf carries in a gate, beside what its supplier says that it may.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "generator/loads/load_report.h"

namespace leafstack {

struct RatedLoad {
  std::string_view group;         ///< of the shelf: "wheel"
  std::string_view what;          ///< "a track wheel"
  const char* pointer = nullptr;  ///< of the rating
  double load_N = 0;              ///< greatest, on one item
  std::optional<double> rated_N;  ///< none: nobody says

  bool isOver() const { return rated_N && load_N > *rated_N; }
};

/// Of all items that have a rating in the table and are in the gate, in the table's order.
std::vector<RatedLoad> ratedLoads(const GateSpec& spec, const LoadReport& report);

}  // namespace leafstack
