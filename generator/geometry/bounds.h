// An axis-parallel box.
#pragma once

#include <array>

namespace leafstack {

struct Bounds {
  std::array<double, 3> low{}, high{};
};

}  // namespace leafstack
