// What makes trouble in the workshop or in the zinc bath.
#pragma once

#include <vector>

#include "generator/model/model.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// Hollows without a place for a vent, thick steel welded to thin, pieces longer than the bath.
std::vector<Warning> dipWarnings(const Model& model);

/// What holds the gate's parts and is neither drawn, listed nor ordered; cladding that hangs by one
/// end.
std::vector<Warning> fixingWarnings(const Model& model);

/// Holes too small to be cut in their plate, screws that no tool reaches.
std::vector<Warning> fittingWarnings(const Model& model, const Schedules& schedules);

}  // namespace leafstack
