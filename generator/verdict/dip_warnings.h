// What is wrong for the zinc bath; none where nothing is galvanised.
#pragma once

#include <vector>

#include "generator/model/model.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// Hollows without a place for a vent, thick steel welded to thin, pieces longer than the bath.
std::vector<Warning> dipWarnings(const Model& model);

}  // namespace leafstack
