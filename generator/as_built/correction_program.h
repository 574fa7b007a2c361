// The mixed linear program of corrections: what may be set as columns, proved clearances and rules
// as rows.
#pragma once

#include <cmath>
#include <optional>
#include <vector>

#include "generator/as_built/near_pairs.h"
#include "generator/as_built/rules.h"

namespace leafstack {

/// What one may do: a knob with its range, in whole steps, and what it costs.
struct Choice {
  Knob knob;
  double least_mm = 0, most_mm = 0, step_mm = 0.5;
  double cost = 0, cost_per_mm = 0;  ///< of touching it at all, and of every mm
};

/// Within the hardware set's ranges and `as_built`'s; with `remaking` what is cut or welded anew
/// comes on top, at a cost beside which nothing else counts.
std::vector<Choice> choicesOf(const BuiltGate& gate, bool remaking);

/// A pair's clearance as a linear function of what is set, true at `at`.
struct ClearanceRow {
  NearPair pair;
  BuiltSettings at;
  std::vector<double> per_knob;   ///< by allKnobs()
  std::vector<double> if_relaid;  ///< by panel: more where its track is laid anew
};
/// Whether what is set acts on a row at all: less is rounding.
inline bool acts(double per_knob) {
  return std::abs(per_knob) > 1e-9;
}
ClearanceRow rowOf(const BuiltGate& gate, const Movers& movers, const NearPair& pair,
                   const BuiltSettings& at);

/// Every knob that there is, set or made anew, in one order.
std::vector<Knob> allKnobs(int panels);

/// The cheapest settings that keep every row and rule; none where there are none.
std::optional<BuiltSettings> cheapest(const BuiltGate& gate, const std::vector<BuiltRule>& rules,
                                      const std::vector<ClearanceRow>& rows,
                                      const std::vector<Choice>& choices);

}  // namespace leafstack
