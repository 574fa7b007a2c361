// The cone of concrete that two anchors beside each other pull out (EN 1992-4, 7.2.1.4, from
// memory): cracked concrete, anchors set after casting, no supplementary steel.
#pragma once

#include <array>

namespace leafstack {

struct AnchorRow {
  double depth_mm = 0;    ///< effective embedment, above 0
  double spacing_mm = 0;  ///< of the two, along their row, 0 or more
  /// To the concrete's edges beyond either end of the row, and before and behind it; 0 or more.
  std::array<double, 2> edges_along_mm{}, edges_across_mm{};
};

/// Characteristic resistance of both together: k1 sqrt(f_ck) h^1.5 x A / (9 h^2) x psi_s x psi_re;
/// `concrete_N_mm2` is the cylinder strength.
double coneResistance_N(const AnchorRow& row, double concrete_N_mm2);

/// Its partial factor: concrete 1.5 x installation 1.2, an anchor of normal installation safety.
inline constexpr double kConeFactor = 1.8;

}  // namespace leafstack
