// What a force does to a group of welds that hold one part.
#pragma once

#include <vector>

#include "generator/geometry/vec.h"

namespace leafstack {

/// A straight weld, mm, and its throat.
struct WeldThroat {
  Vec3 from{}, to{};
  double throat_mm = 0;
};

/// The greatest stress on any throat, N/mm2, all of it taken as shear there: `force_N` acts at
/// `at_mm`, and the welds share it as lines that give alike every way on a stiff part (elastic
/// distribution, EN 1993-1-8, 2.5 and 4.5.3.3, from memory). Infinite where they are too few to
/// hold: one line about its own axis.
double weldGroupStress_N_mm2(const std::vector<WeldThroat>& welds, const Vec3& at_mm,
                             const Vec3& force_N);

}  // namespace leafstack
