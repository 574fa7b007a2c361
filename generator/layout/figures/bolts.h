// Hexagon bolts by their thread: what their heads take and the holes they go through.
#pragma once

#include <array>
#include <cstddef>

namespace leafstack {

struct BoltSize {
  double thread_mm = 0;
  double head_mm = 0;    ///< height
  double across_mm = 0;  ///< corners
  double hole_mm = 0;    ///< it passes, medium fit
  double form_mm = 0;    ///< flow-drilled for its thread in a wall
};

/// Heads: ISO 4014. Holes: ISO 273, medium. Formed holes: common practice, from memory.
inline constexpr std::array kBoltSizes = {
    BoltSize{6, 4, 11.05, 6.6, 5.4}, BoltSize{8, 5.3, 14.38, 9, 7.3},
    BoltSize{10, 6.4, 17.77, 11, 9.2}, BoltSize{12, 7.5, 20.03, 13.5, 11},
    BoltSize{16, 10, 26.75, 17.5, 14.8}};

/// The size of that thread, or else the next larger one, or the largest.
constexpr const BoltSize& boltSize(double thread_mm) {
  std::size_t i = 0;
  while (i + 1 < kBoltSizes.size() && kBoltSizes[i].thread_mm < thread_mm) {
    ++i;
  }
  return kBoltSizes[i];
}

}  // namespace leafstack
