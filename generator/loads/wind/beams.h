// Straight beams of one section, small deflections. Source: any handbook of structures; worked
// figures in tests/loads/loads_oracle_test.cpp.
#pragma once

namespace leafstack {

/// E in N/mm2 and I in mm4; both > 0.
struct Stiffness {
  double elastic_N_mm2 = 0, second_moment_mm4 = 0;
};

struct BeamResult {
  double moment_Nmm = 0;     ///< greatest
  double deflection_mm = 0;  ///< greatest
};

/// Evenly loaded, resting on both ends: w L^2 / 8 and 5 w L^4 / (384 E I).
BeamResult evenlyLoaded(double load_N_mm, double span_mm, const Stiffness& stiffness);

/// Held at one end, loaded at the other: F L and F L^3 / (3 E I).
BeamResult cantilever(double force_N, double length_mm, const Stiffness& stiffness);

}  // namespace leafstack
