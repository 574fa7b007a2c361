// The files that a gate's surroundings stand in.
#pragma once

#include <vector>

#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/shelf/hardware_set.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// Fills in the shapes of each; what cannot be had is reported at its node of `list` (null: none
/// was given).
void loadSurroundings(const JsonNode* list, const HardwareInput& files, Reporter& reporter,
                      std::vector<Surrounding>& surroundings);

}  // namespace leafstack
