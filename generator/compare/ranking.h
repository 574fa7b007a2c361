// Which arrangement comes first, and why.
#pragma once

#include "generator/compare/arrangement.h"

namespace leafstack {

/// What the order of two arrangements depends on.
struct Standing {
  bool fits = false, laid_out = true;
  bool room_known = true;
  int readiness = 1;  ///< 0: ready, 1: nobody looked, 2: not ready
  bool motor_weak = false;
  double motor_force_N = 0;   ///< where it is too weak
  double short_mm = 0;        ///< of the room given
  std::optional<Money> cost;  ///< none: not to be ranked by it
  int panels = 1;
  int mount_steps = 0;  ///< 0 the simplest: see mountSteps()
  bool motor_changed = false, stacking_changed = false;
  double room_mm = 0;
};

/// Common practice, no source: a post in the ground is the simplest; then a bracket on the fence
/// post where the fence hides it; then an arm from a post beyond the motor; a bracket in view last.
int mountSteps(GuideMount mount, bool bracket_shows);

Standing standingOf(const GateSpec& spec, const Arrangement& arrangement);

/// What fits first, and of that what is ready, then what nobody looked at, then what is not ready;
/// of each what its motor can move; else what has the strongest motor; then
/// the cheapest, where nothing that fits lacks a price; the fewest panels;
/// the simplest mount; what the gate file says of motor and stacking; the least room. Of what does
/// not fit, what is nearest to fitting. Where no room is known a single panel, which takes as much
/// as the opening, comes after the others.
bool ranksBefore(const Standing& one, const Standing& other);

/// Fills in rank, ranked, recommended and why.
void rankArrangements(SiteComparison& comparison);

}  // namespace leafstack
