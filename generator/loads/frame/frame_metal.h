// What the panels' frames are made of, and the units that moments are told in.
#pragma once

#include <string>

#include "params/spec/gate_spec.h"

namespace leafstack {

inline constexpr double kNmmPerNm = 1000;

/// "steel" or "aluminium".
std::string frameMaterialName(const GateSpec& spec);
/// Yield strength of the frames' metal, N/mm2: the gate file's, else its material's.
double frameYield_N_mm2(const GateSpec& spec);

}  // namespace leafstack
