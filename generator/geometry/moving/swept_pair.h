// Two bodies and how one moves as the other sees it: what sweeps are asked about.
#pragma once

#include "generator/geometry/moving/effort.h"
#include "generator/geometry/moving/hull_tree.h"
#include "generator/geometry/moving/relative_motion.h"

namespace leafstack {

/// How closely the ends of a stretch are found, on the pieces as they are.
inline constexpr double kStretchEndMm = 1e-6;

/// Strays no more than this are as good as none, unless a pair asks for less.
inline constexpr double kStrayMm = 1e-3;

/// Two bodies. Trees have frames of their own, so that boxes fit what leans.
struct SweptPair {
  const HullTree& a;
  const HullTree& b;
  Vec3 apart{};  ///< b stands this far out of where it is placed, along the axes of a's tree
  const RelativeMotion& motion;
  Vec3 free{};  ///< b may be this far out of place, either way, along each of the gate's axes
  Placement place_a{}, place_b{};  ///< of the trees' frames in the gate's, at closed
  /// Straight stretches of a motion that is not straight are halved until no point deviates
  /// further.
  double deviation_mm = kStrayMm;
  Effort* effort = nullptr;  ///< none: unbounded
};

}  // namespace leafstack
