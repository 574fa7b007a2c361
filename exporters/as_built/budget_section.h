// Where a workshop has to be careful: the tolerance budget as a table and a picture.
#pragma once

#include <string>

#include "generator/as_built/budget.h"

namespace leafstack {

/// HTML. The five dimensions that have to be most exact, and how many gates work at which accuracy.
std::string budgetSection(const ToleranceBudget& budget);

}  // namespace leafstack
