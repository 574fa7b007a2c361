// How far two parts that meet are into each other.
#pragma once

#include <vector>

#include "generator/clash/placed/placed.h"

namespace leafstack {

struct Escape {
  double shift_mm = 0;
  Vec3 direction{};  ///< unit vector in the gate's frame: b goes this way
};

/// Least shift of `b` that frees it of `a` at `drive_mm`, of those along `directions`, unit vectors
/// in a's own frame; 0 where they do not meet. Exact along each direction, on the meshes.
Escape leastEscape(PlacedShapes& shapes, const PairQuery& query, double drive_mm,
                   const std::vector<Vec3>& directions);

/// Directions in a's own frame: both ways along the pair's relative motion, or along what a leans
/// with where there is none; along all three axes; those and square to the parts' largest faces.
std::vector<Vec3> alongTravel(const PlacedShapes& shapes, const PairQuery& query, double drive_mm);
std::vector<Vec3> alongAxes();
std::vector<Vec3> squareToFaces(PlacedShapes& shapes, const PairQuery& query, double drive_mm);

}  // namespace leafstack
