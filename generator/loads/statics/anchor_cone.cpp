#include "generator/loads/statics/anchor_cone.h"

#include <algorithm>
#include <cmath>

namespace leafstack {

double coneResistance_N(const AnchorRow& row, double concrete_N_mm2) {
  constexpr double kCracked = 7.7;
  const double h = row.depth_mm;
  const double full_edge = 1.5 * h;
  const auto reach = [&](double edge) { return std::min(edge, full_edge); };
  const double along = reach(row.edges_along_mm[0]) + std::min(row.spacing_mm, 2 * full_edge) +
                       reach(row.edges_along_mm[1]);
  const double across = reach(row.edges_across_mm[0]) + reach(row.edges_across_mm[1]);
  const double nearest = std::min({full_edge, row.edges_along_mm[0], row.edges_along_mm[1],
                                   row.edges_across_mm[0], row.edges_across_mm[1]});
  const double by_edge = 0.7 + 0.3 * nearest / full_edge;
  const double by_shell = std::min(1.0, 0.5 + h / 200);  // dense reinforcement splits the cover
  return kCracked * std::sqrt(concrete_N_mm2) * std::pow(h, 1.5) * along * across / (9 * h * h) *
         by_edge * by_shell;
}

}  // namespace leafstack
