// Loads, ropes, drive and wind of a built gate.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "generator/loads/details/rope_bracket_details.h"
#include "generator/loads/load_report.h"
#include "generator/model/model.h"

namespace leafstack {

/// Natural frequencies tell nothing against a gate: who tries many leaves them out.
enum class Frequencies { kFound, kLeftOut };

/// Everything, from the solids.
LoadReport findLoads(const Model& model, Frequencies frequencies = Frequencies::kFound);

/// What the ropes pull their brackets with, by carrying panel.
std::vector<detail_rows::BracketPull> bracketPulls(const std::vector<RopeRow>& ropes);

/// An "auto" of the gate file that the loads decide.
struct ComputedLoad {
  std::string pointer;
  std::vector<double> values;  ///< one, or one for each post where they differ
  std::string why = {};
};
std::vector<ComputedLoad> computedLoads(const GateSpec& spec, const LoadReport& loads);

}  // namespace leafstack
