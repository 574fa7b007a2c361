// What a mm3 of each material weighs.
#pragma once

#include <string>

#include "params/spec/gate_spec.h"

namespace leafstack {

/// Density by material name, kg/m3, from params/catalogue; 0 for envelopes. Rope: the mass factor
/// of rope tables over the solid strand modelled.
double densityOf(const std::string& material, const GateSpec& spec);

}  // namespace leafstack
