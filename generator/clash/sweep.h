// Two bodies over a stretch of travel: how near they come, and where they are too near.
//
// Properties (tested against closed forms and, step by step, against an independent library):
//  W1 leastClearance().at_least_mm bounds the clearance from below at *every* position of the
//     stretch, mesh errors and the motion's deviation taken off.
//  W2 clearance_mm is met at `at_mm`, to within `error_mm`.
//  W3 outside stretchesBelow(..., Reading::kLeast) the clearance is never below the limit.
#pragma once

#include <limits>
#include <vector>

#include "generator/clash/hull_tree.h"

namespace leafstack {

/// From one position of the drive to another, mm of drive travel.
struct Stretch {
  double from_mm = 0, to_mm = 0;
};

/// Where body b is carried, relative to body a, from its place at closed. Between the two ends of a
/// stretch it is taken to go straight; `deviation_mm` bounds how far any of its points strays.
struct Chord {
  Vec3 from{}, to{};
  double deviation_mm = 0;
};

/// Motion of one body relative to another. Translations are exact; any other motion (a panel that
/// pitches) may be given as well, as long as its deviation shrinks with the stretch.
class RelativeMotion {
 public:
  virtual ~RelativeMotion() = default;
  virtual Chord chord(const Stretch& stretch) const = 0;
};

/// `velocity` mm for every mm of drive travel.
class StraightMotion : public RelativeMotion {
 public:
  explicit StraightMotion(const Vec3& velocity) : velocity_(velocity) {}
  Chord chord(const Stretch& stretch) const override;

 private:
  Vec3 velocity_;
};

/// Body b, seen from body a.
struct SweptPair {
  const HullTree& a;
  const HullTree& b;
  Vec3 apart{};  ///< from a's frame to b's, at closed
  const RelativeMotion& motion;
  Vec3 free{};  ///< b may be this far out of place, either way, along each axis
};

struct Clearance {
  double at_least_mm = 0;                                         ///< proved
  double clearance_mm = std::numeric_limits<double>::infinity();  ///< below 0 in thickened pieces
  double error_mm = 0;                                            ///< of clearance_mm
  double at_mm = 0;
  Vec3 on_a{}, on_b{};  ///< nearest points, in a's frame at closed
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

/// How mesh errors are read: as making bodies larger, not at all, or smaller.
enum class Reading { kLeast, kDrawn, kMost };

/// Where in the stretch the clearance is below `limit_mm`; ends to kStretchEndMm, in order,
/// disjoint.
std::vector<Stretch> stretchesBelow(const SweptPair& pair, const Stretch& stretch, double limit_mm,
                                    Reading reading);

/// How closely the ends of a stretch are found, on the pieces as they are.
inline constexpr double kStretchEndMm = 1e-6;

/// Unites stretches that meet or overlap; sorted.
std::vector<Stretch> united(std::vector<Stretch> stretches);

/// Parts of `whole` that none of `taken` (united) covers.
std::vector<Stretch> gapsBetween(const std::vector<Stretch>& taken, const Stretch& whole);

}  // namespace leafstack
