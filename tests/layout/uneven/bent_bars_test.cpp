// Bent tracks: what is measured of them in closed form against the kernel's integration of their
// faces, and by hand where they are straight.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "generator/occt/checked.h"
#include "generator/occt/solids/bent.h"
#include "tests/support/dice.h"

namespace leafstack {
namespace {

void expectAsKernel(const MeasuredSolid& bar) {
  const MassProperties kernel = massProperties(bar.solid);
  EXPECT_NEAR(bar.volume_mm3 / kernel.volume_mm3, 1, 1e-9);
  EXPECT_NEAR(bar.area_mm2 / surfaceArea(bar.solid), 1, 1e-9);
  for (int axis = 0; axis < 3; ++axis) {
    EXPECT_NEAR(bar.centroid_mm[axis], kernel.centroid_mm[axis], 1e-5);
  }
}

TEST(BentBars, ClosedFormsAreTheKernels) {
  Dice dice(2209);
  for (int round = 0; round < 6; ++round) {
    std::vector<std::array<double, 2>> points;
    for (int i = 0; i < 9; ++i) {
      points.push_back({600.0 * i, dice.in(-12, 12)});
    }
    const GroundLine line = GroundLine::through(points);
    const std::array<double, 2> ends = {dice.in(-300, 300), dice.in(4000, 5500)};
    expectAsKernel(bentBar(line, ends, dice.in(8, 15)));
    // An angle lying on its side: not symmetric in anything.
    const double leg = dice.in(20, 40);
    expectAsKernel(bentPrism(line, ends, {{0, 0}, {leg, 0}, {leg, 4}, {5, 4}, {5, leg}, {0, leg}}));
  }
}

TEST(BentBars, StraightOnesByHand) {
  const GroundLine line = GroundLine::through({{0, 0}, {3000, 90}});
  const double length = std::hypot(3000, 90);
  const MeasuredSolid bar = bentBar(line, {0, 3000}, 10);
  EXPECT_NEAR(bar.volume_mm3, std::numbers::pi * 100 * length, 1e-6);
  EXPECT_NEAR(bar.area_mm2, std::numbers::pi * (20 * length + 200), 1e-6);
  const double sine = 90 / length;
  EXPECT_NEAR(bar.centroid_mm[0], 1500 - 10 * sine, 1e-9);
}

}  // namespace
}  // namespace leafstack
