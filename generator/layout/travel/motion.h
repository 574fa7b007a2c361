// Motion from ropes of fixed length.
//
// A rope that rounds a pulley on body c, with one end on body f and the other on body a, both
// strands parallel to X, keeps (x_f - x_c) + (x_a - x_c) constant up to sign, so
//     v_f = 2 v_c - v_a.
// Body 0 is the ground (v = 0); body 1 is driven (v = 1). Nothing here knows "panel k moves k times
// as fast": that follows from where the ropes are anchored.
// Source of the moving pulley: Giancoli, Physics, 7th ed., ch. 6, question 11.
#pragma once

#include <vector>

namespace leafstack {

/// One carrying panel's ropes: opening and closing rope share the same three bodies.
struct RopeAnchors {
  int carrier = 1;
  int front_end = 2;  ///< body that holds the front strand's end
  int rear_end = 0;   ///< body that holds the rear strand's end; 0 = the ground
};

/// Ropes of a stack of `panel_count` panels with every anchor one panel behind.
std::vector<RopeAnchors> anchorsOneBehind(int panel_count);

/// Speed of every body relative to the drive; index 0 is the ground. Throws std::invalid_argument
/// when a body is left without a rope, or a rope contradicts another.
std::vector<double> speedRatios(int panel_count, const std::vector<RopeAnchors>& ropes);

}  // namespace leafstack
