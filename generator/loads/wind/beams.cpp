#include "generator/loads/wind/beams.h"

namespace leafstack {

BeamResult evenlyLoaded(double load_N_mm, double span_mm, const Stiffness& stiffness) {
  const double square = span_mm * span_mm;
  return {load_N_mm * square / 8,
          5 * load_N_mm * square * square /
              (384 * stiffness.elastic_N_mm2 * stiffness.second_moment_mm4)};
}

BeamResult cantilever(double force_N, double length_mm, const Stiffness& stiffness) {
  return {force_N * length_mm, force_N * length_mm * length_mm * length_mm /
                                   (3 * stiffness.elastic_N_mm2 * stiffness.second_moment_mm4)};
}

}  // namespace leafstack
