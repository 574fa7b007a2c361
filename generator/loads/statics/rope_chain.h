// Statics through the ropes: what every rope, pulley and anchor carries, and what the drive gives.
//
// Each panel needs a force along its own motion (rolling resistance, slope, inertia). A rope set's
// front strand pulls the body at its front end, its rear strand pulls back on the body at its rear
// end, and both pull back on the carrier's pulley. With rope sets anchored one panel behind and no
// pulley losses this is  T[k-1] = f[k] + 2 T[k] - T[k+1];  nothing here assumes that anchoring.
//
// Properties (tests/loads/loads_chain_test.cpp):
//  C1  every panel is in equilibrium.
//  C2  without losses the drive's force is the virtual work of all needs, sum of ratio x need.
//  C3  with losses it is that and what every pulley loses over one mm of drive travel, never less.
#pragma once

#include <vector>

#include "generator/layout/travel/motion.h"

namespace leafstack {

/// Pull in one rope set, N. Positive: in the rope that pulls the front body along its motion;
/// negative: in the other rope of the set, which holds it back.
struct RopePull {
  int carrier = 1;
  double front_N = 0, rear_N = 0;  ///< either strand; they differ by the pulley's loss

  /// What both strands together pull on the pulley.
  double pulley_N() const { return front_N + rear_N; }
  /// What the pulley eats for every mm that the rope runs over it; 0 or more.
  double loss_N() const { return rear_N - front_N; }
};

struct ChainForces {
  std::vector<RopePull> ropes;  ///< in the order given
  double drive_N = 0;           ///< negative where the drive must hold back
  double ground_N = 0;          ///< of all rear ends on the ground
};

/// Forces for `need_N` (panel 1 first, along each panel's motion, positive where it resists).
/// `efficiency`, over 0 to 1, is the share of a rope's pull that passes a pulley: the strand that
/// drives carries the other's pull over it. Throws std::invalid_argument for ropes whose ends lie
/// so that the forces cannot be found panel by panel from the front.
ChainForces solveChain(const std::vector<double>& need_N, const std::vector<RopeAnchors>& ropes,
                       double efficiency);

/// How far the front panel lags behind where ropes without stretch would have it, for the stretch
/// of each rope set that pulls, in the order of `ropes`. Same units as the stretch.
double frontLag(int panel_count, const std::vector<RopeAnchors>& ropes,
                const std::vector<double>& stretch);

}  // namespace leafstack
