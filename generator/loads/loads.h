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

/// An "auto" of the gate file that the loads decide.
struct ComputedLoad {
  std::string pointer;
  std::vector<double> values;  ///< one, or one for each post where they differ
  std::string why = {};
};
std::vector<ComputedLoad> computedLoads(const GateSpec& spec, const LoadReport& loads);

}  // namespace leafstack
