// What is wrong where parts are cut and screwed together.
#pragma once

#include <vector>

#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"

namespace leafstack {

/// Holes too small to be cut in their plate, screws that no tool reaches.
std::vector<Warning> fittingWarnings(const Schedules& schedules);

}  // namespace leafstack
