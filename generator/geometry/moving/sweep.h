// Two bodies over a stretch of travel: how near they come, and where they are too near.
//
// Properties (tested against closed forms and, step by step, against an independent library):
//  W1 leastClearance().at_least_mm bounds the clearance from below at *every* position of the
//     stretch, mesh errors and the motion's deviation taken off.
//  W2 clearance_mm is met at `at_mm`, to within `error_mm`.
//  W3 outside stretchesBelow(..., Reading::kLeast) the clearance is never below the limit.
//  W1 and W3 hold whatever effort was granted, and so does: stretchesBelow(..., Reading::kMost)
//  covers nothing where the clearance may be the limit or more.
#pragma once

#include <limits>
#include <vector>

#include "generator/geometry/moving/swept_pair.h"

namespace leafstack {

struct Clearance {
  double at_least_mm = 0;                                         ///< proved
  double clearance_mm = std::numeric_limits<double>::infinity();  ///< below 0 in thickened pieces
  double error_mm = 0;                                            ///< of clearance_mm
  double at_mm = 0;
  Vec3 on_a{}, on_b{};  ///< nearest points, in the frame of a's tree
};

/// What has to be known of a clearance; the search stops as soon as it is.
struct Wanted {
  /// Nothing further apart than this is looked for: then at_least_mm is `enough_mm`, clearance_mm
  /// infinite.
  double enough_mm = 0;
  /// Once it cannot be proved to be more than this, the rest does not matter.
  double unless_over_mm = -std::numeric_limits<double>::infinity();
  /// Once it is surely no more than this, the rest does not matter.
  double if_within_mm = -std::numeric_limits<double>::infinity();
};
Clearance leastClearance(const SweptPair& pair, const Stretch& stretch, const Wanted& wanted);

/// How mesh errors and the motion's deviation are read: as making bodies larger, not at all, or
/// smaller.
enum class Reading { kLeast, kDrawn, kMost };

/// Where in the stretch the clearance is below `limit_mm`; ends to kStretchEndMm, in order,
/// disjoint.
std::vector<Stretch> stretchesBelow(const SweptPair& pair, const Stretch& stretch, double limit_mm,
                                    Reading reading);

/// Unites stretches that overlap, meet or are no more than `apart_mm` apart; sorted.
std::vector<Stretch> united(std::vector<Stretch> stretches, double apart_mm = 1e-9);

/// Parts of `whole` that none of `taken` (united) covers.
std::vector<Stretch> gapsBetween(const std::vector<Stretch>& taken, const Stretch& whole);

}  // namespace leafstack
