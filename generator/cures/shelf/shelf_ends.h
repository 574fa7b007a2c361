// How far a size of the shelf may go before parts meet: what rules and layouts do not see.
#pragma once

#include "generator/cures/trial.h"
#include "generator/shelf/shelf_check.h"

namespace leafstack {

/// Clash checks of one end of a range that is found to meet: the end is told to that part of what
/// lies between it and the value that does.
inline constexpr int kEndHalvings = 7;

/// Draws the gate with a size at both ends of its range, and where parts meet there that did not,
/// brings that end in. Places between are not looked at. `spec` must be clear; `stores` serve all
/// ranges of one gate. Takes up to 2 + 2 * kEndHalvings clash checks.
void shortenRange(const GateSpec& spec, SizeRange& range, TrialStores& stores);

}  // namespace leafstack
