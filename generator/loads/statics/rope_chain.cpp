#include "generator/loads/statics/rope_chain.h"

#include <limits>
#include <stdexcept>
#include <string>

namespace leafstack {

ChainForces solveChain(const std::vector<double>& need_N, const std::vector<RopeAnchors>& ropes,
                       double efficiency) {
  const int panel_count = static_cast<int>(need_N.size());
  // Pull that each body must be given from the panels behind it: its own need, and what the ropes
  // already known ask of it.
  std::vector<double> wanted(panel_count + 1, 0);
  for (int panel = 1; panel <= panel_count; ++panel) {
    wanted[panel] = need_N[panel - 1];
  }
  ChainForces forces;
  forces.ropes.resize(ropes.size());
  for (int panel = panel_count; panel >= 2; --panel) {
    bool is_pulled = false;
    for (std::size_t i = 0; i < ropes.size(); ++i) {
      const RopeAnchors& rope = ropes[i];
      if (rope.front_end != panel) {
        continue;
      }
      if (is_pulled || rope.carrier >= panel || rope.rear_end >= panel) {
        throw std::invalid_argument("panel " + std::to_string(panel) +
                                    " is not pulled by exactly one rope set from behind");
      }
      is_pulled = true;
      RopePull& pull = forces.ropes[i];
      pull.carrier = rope.carrier;
      pull.front_N = wanted[panel];
      pull.rear_N = pull.front_N >= 0 ? pull.front_N / efficiency : pull.front_N * efficiency;
      wanted[rope.carrier] += pull.pulley_N();
      wanted[rope.rear_end] -= pull.rear_N;
    }
    if (!is_pulled) {
      throw std::invalid_argument("no rope pulls panel " + std::to_string(panel));
    }
  }
  forces.drive_N = panel_count > 0 ? wanted[1] : 0;
  forces.ground_N = -wanted[0];
  return forces;
}

double frontLag(int panel_count, const std::vector<RopeAnchors>& ropes,
                const std::vector<double>& stretch) {
  std::vector<double> lag(panel_count + 1, std::numeric_limits<double>::quiet_NaN());
  lag[0] = 0;
  lag[1] = 0;  // the drive holds it
  for (int panel = 2; panel <= panel_count; ++panel) {
    for (std::size_t i = 0; i < ropes.size(); ++i) {
      if (ropes[i].front_end == panel) {
        lag[panel] = 2 * lag[ropes[i].carrier] - lag[ropes[i].rear_end] + stretch.at(i);
      }
    }
  }
  return lag.back();
}

}  // namespace leafstack
