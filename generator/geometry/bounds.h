// An axis-parallel box.
#pragma once

#include <array>

namespace leafstack {

inline constexpr int kAlongX = 0, kAlongY = 1, kAlongZ = 2;

struct Bounds {
  std::array<double, 3> low{}, high{};
};

}  // namespace leafstack
