// How far ropes of fixed length take panels that ride over uneven ground.
//
// On even ground a panel goes exactly by its speed ratio (motion.h). Where panels lean and their
// tracks rise otherwise, a rope's way from bracket to bracket takes in or gives out some tenths of
// a millimetre more, and the panel that it pulls is that much ahead or behind. Two ropes hold each
// panel, one against the other: it stands where both are off their length at closed by as much.
// What is left, half of what the loop of both needs more, is what they stretch or slacken.
//
// Frame: X along the track and Z up, mm (layout.h); drive travel as in travel.h.
#pragma once

#include <array>
#include <memory>
#include <vector>

#include "generator/layout/travel/panel_travel.h"

namespace leafstack {

/// A rope's two strands where they bend, closed: from an end on the front body to the pulley on its
/// carrier, and from there to an end on the rear body.
struct RopeWay {
  int front = 2, carrier = 1, rear = 0;  ///< bodies
  std::array<double, 2> front_mm{}, pulley_mm{}, rear_mm{};
};

/// Length of both strands, without the turn round the pulley, which stays the same.
double wayMm(const RopeWay& way, const Travels& travels, double drive_mm);

struct RopesOfCarrier {
  RopeWay opening, closing;
};

struct RopesFollowed {
  /// For every panel, back first, how many mm of X it is ahead of its speed ratio, over drive
  /// travel: a spline through positions no more than kFollowedStepMm apart, 0 at closed. The back
  /// panel is the driven one and is never ahead.
  std::vector<GroundLine> ahead;
  /// By carrier, back first: how far along X its front panel may stand off that, as seen from the
  /// carrier. Ropes that are just tight where their ways are longest leave it the difference to
  /// where they are shortest; and kFollowedWithinMm.
  std::vector<double> left_mm;
};

/// Over drive travel from 0 to `travel_mm`. `rides` by panel; what they are ahead already does not
/// count. Ropes by carrier.
RopesFollowed followRopes(const std::vector<std::shared_ptr<const PanelTravel>>& rides,
                          const std::vector<RopesOfCarrier>& ropes, double travel_mm);
inline constexpr double kFollowedStepMm = 20;
/// What a spline may be off between its positions, and a rope's way longer or shorter there than
/// at any of them (TrackLines.RopesKeepTheirLengthsOnTheirTrueWays looks between them).
inline constexpr double kFollowedWithinMm = 0.01;

/// A rope that leaves its pulley's mid-plane aslant is taken to bend where it leaves the pitch
/// circle. Its true way is shorter, least where it may climb its groove as on a cylinder: strand
/// and half turn rolled out flat are then one straight line. For a strand of length L that rises
/// by t L, after a turn of length a, that is t^2 L a / (2 (L + a)), less than t^2 a / 2; two
/// strands share the half turn of `pitch_mm`.
double wrapUnsureMm(double pitch_mm, double steepest);

}  // namespace leafstack
