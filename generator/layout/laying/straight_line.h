// The straight line that a track is laid to at least cost: shims under it where the slab lies low,
// the slab ground down where it stands high.
#pragma once

#include <array>
#include <vector>

namespace leafstack {

/// Most that may be packed up and ground down, mm, 0 or more.
struct LayingLimits {
  double shims_mm = 0, grinding_mm = 0;
};

/// A millimetre ground off the slab costs as much as this many of shims: common practice, no
/// source.
inline constexpr double kGrindingCost = 3;

struct StraightLine {
  double at_zero_mm = 0, slope = 0;
  double cost = 0;      ///< shims' mm and kGrindingCost times what is ground, over all points
  double short_mm = 0;  ///< most that limits are exceeded by anywhere; 0 where they hold

  double heightMm(double x_mm) const { return at_zero_mm + slope * x_mm; }
};

/// Over points {x, z} of a slab, 2 or more with different X: keeps the limits where any line does
/// and else exceeds them least in sum. A linear program, solved by Clp.
StraightLine cheapestStraight(const std::vector<std::array<double, 2>>& slab,
                              const LayingLimits& limits);

/// The same for a bar that may bend gently: heights at the points, which stand in order of X, where
/// the slope from one to the next changes by at most `bend_per_mm` for every mm of X between the
/// middles of both. 0 per mm is a straight line.
struct GentleLine {
  std::vector<double> heights_mm;
  double cost = 0, short_mm = 0;
};
GentleLine cheapestGentle(const std::vector<std::array<double, 2>>& slab,
                          const LayingLimits& limits, double bend_per_mm);

}  // namespace leafstack
