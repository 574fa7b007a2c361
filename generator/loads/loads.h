// Loads, ropes, drive and wind of a built gate.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "generator/loads/load_report.h"
#include "generator/model/model.h"

namespace leafstack {

/// Natural frequencies tell nothing against a gate: who tries many leaves them out.
enum class Frequencies { kFound, kLeftOut };

/// Everything, from the solids.
LoadReport findLoads(const Model& model, Frequencies frequencies = Frequencies::kFound);

/// An "auto" of the gate file that the loads decide.
struct ComputedLoad {
  std::string pointer;
  std::vector<double> values;  ///< one, or one for each post where they differ
  std::string why = {};
};
std::vector<ComputedLoad> computedLoads(const GateSpec& spec, const LoadReport& loads);

}  // namespace leafstack
