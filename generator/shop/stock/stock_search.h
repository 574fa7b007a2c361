// The search for the plan that buys least, in whole numbers.
#pragma once

#include <vector>

#include "generator/shop/stock/stock_patterns.h"

namespace leafstack::stock {

struct Solution {
  std::vector<Pattern> bars;  ///< every type cut exactly as often as demanded
  Hundredths bound = 0;       ///< no plan buys less
};

/// Heuristics first; then column generation (Gilmore and Gomory, A linear programming approach to
/// the cutting stock problem, Operations Research 9, 1961; from memory) for the bound; whole
/// numbers of the patterns met; and dives, which cut what the linear program wants most and solve
/// anew for the rest. Whichever reaches the bound ends it. Needs some demand.
Solution leastBought(const Problem& problem);

}  // namespace leafstack::stock
