// Loads, ropes, drive and wind of a built gate.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "generator/loads/load_report.h"
#include "generator/model/model.h"

namespace leafstack {

/// Everything, from the solids.
LoadReport findLoads(const Model& model);

/// Every "auto" of the gate file that the loads decide, with its value.
std::vector<std::pair<std::string, double>> computedLoads(const GateSpec& spec,
                                                          const LoadReport& loads);

}  // namespace leafstack
