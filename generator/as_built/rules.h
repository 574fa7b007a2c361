// What has to hold of a gate as built besides clearances, each a linear function of what is set.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "generator/as_built/built/built_gate.h"

namespace leafstack {

struct BuiltRule {
  std::string what;  ///< "gap at panel 2's end stop", in words
  std::function<double(const BuiltSettings&)> value_mm;
  double least_mm = 0, most_mm = 0;

  double shortMm(const BuiltSettings& set) const;  ///< by how much it is not kept; 0 where it is
};

/// R1 to R6 of corrections.h, for every panel, guide and rope. `gate` outlives them.
std::vector<BuiltRule> rulesOf(const BuiltGate& gate);

/// How much longer a carrier's opening or closing rope has to be than drawn, closed.
double ropeLongerMm(const BuiltGate& gate, const BuiltSettings& set, int carrier, bool opening);

}  // namespace leafstack
