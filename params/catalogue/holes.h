// Where holes may stand in plate.
#pragma once

namespace leafstack {

/// From a bolt hole's middle to an edge, in its diameters, at least: e1 and e2 of EN 1993-1-8,
/// table 3.3.
inline constexpr double kLeastEdgePerHole = 1.2;
/// From middle to middle of two bolt holes, in their diameter, at least: p1 of the same table.
inline constexpr double kLeastPitchPerHole = 2.2;

inline double leastHoleEdge_mm(double hole_mm) {
  return kLeastEdgePerHole * hole_mm;
}

/// From a hole's edge to where a fold begins, at least, or it is drawn oval: twice the thickness
/// and the inside radius. Published by more than one maker of press tools.
inline double leastHoleOffFold_mm(double thickness_mm, double radius_mm) {
  return 2 * thickness_mm + radius_mm;
}

}  // namespace leafstack
