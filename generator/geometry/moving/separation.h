// How far apart two convex shapes are while one moves past the other: the clash check's proof.
//
// Both shapes are convex hulls of up to three points. Over a stretch of travel each point moves in
// a straight line, so the two shapes' difference, swept over the stretch, is again the convex hull
// of finitely many points, and the distance of that hull from the origin is the least distance over
// the whole stretch: nothing is sampled.
//
// Method: Gilbert, Johnson, Keerthi, "A fast procedure for computing the distance between complex
// objects in three-dimensional space", IEEE J. Robotics and Automation 4 (1988).
//
// Properties (tested on seeded random shapes):
//  S1 `at_least_mm` holds whatever the iteration does: it is the reach of a separating plane whose
//     normal was found, and every point of the hull lies beyond it.
//  S2 `distance_mm` is the distance of two points that the shapes do take up at `at`.
//  S3 at_least_mm <= distance_mm, and they meet to kSeparationMm unless the search stopped early.
#pragma once

#include <array>
#include <limits>

#include "generator/geometry/vec.h"

namespace leafstack {

/// How closely the two bounds of a distance are driven together.
inline constexpr double kSeparationMm = 1e-7;

/// A point, segment or triangle at both ends of a stretch of travel; unused points repeat the last.
/// Where its points move differently, the swept hull holds the shape at every position and more,
/// unless the shape is convex in travel as well, as a segment is that grows along itself: the bound
/// stays true, but `distance_mm` may be less than at any position.
struct MovingHull {
  std::array<std::array<Vec3, 3>, 2> points{};  ///< [0] where the stretch begins, [1] where it ends
  bool stands = false;                          ///< both are the same; only [0] is read then
};

struct Separation {
  double at_least_mm = 0;
  double distance_mm = std::numeric_limits<double>::infinity();
  double at = 0;  ///< where in the stretch, 0 to 1
  Vec3 on_a{}, on_b{};
};

/// A shift by up to `half_mm` along each axis of a frame that is turned about Y, +X towards +Z.
struct FreeShift {
  Vec3 half_mm{};
  double cos = 1, sin = 0;

  bool turns() const { return sin != 0; }
};

/// Least distance of `a` and `b` over the stretch, and over every shift of `b` that `free` leaves.
/// Stops as soon as at_least_mm exceeds `enough_mm`, or distance_mm is less than `little_mm`.
Separation leastSeparation(const MovingHull& a, const MovingHull& b, const FreeShift& free,
                           double enough_mm, double little_mm = 0);

/// Quick and sure where it says yes: along the normal of either one's face, as it is where the
/// stretch begins, they are at least `by_mm` (> 0) apart all over it. Most faces that are near each
/// other without touching are nearly parallel.
bool areApartAlongNormals(const MovingHull& a, const MovingHull& b, double by_mm);

}  // namespace leafstack
