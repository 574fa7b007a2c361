// Seeded random numbers and points: the same on every machine, without library distributions.
#pragma once

#include <random>

#include "generator/geometry/vec.h"

namespace leafstack {

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}

  double in(double low, double high) {
    return low + (high - low) * (static_cast<double>(engine_()) / 4294967296.0);
  }
  /// 0 to count - 1.
  int below(int count) { return static_cast<int>(engine_() % static_cast<unsigned>(count)); }
  /// In a cube of half side `span` about the origin.
  Vec3 point(double span) {
    const double x = in(-span, span);
    const double y = in(-span, span);
    return {x, y, in(-span, span)};
  }

 private:
  std::mt19937 engine_;
};

}  // namespace leafstack
