// How the ropes are tensioned: an order of work for whoever hangs the gate.
#pragma once

#include <string>
#include <vector>

#include "generator/loads/load_report.h"

namespace leafstack {

/// One sentence a step: what comes first, one rope each in their order, what comes last. Empty
/// without ropes.
/// What a panel's two ropes are set to at rest: half of what works, N, in whole tens.
double setTension_N(const std::vector<RopeRow>& ropes, int carrier);

std::vector<std::string> tensioningSteps(const std::vector<RopeRow>& ropes);

}  // namespace leafstack
