// Bars and plates that merchants keep. Sizes after EN 10058 (flats), EN 10059 (squares), from
// memory.
#include <gtest/gtest.h>

#include <numeric>

#include "params/catalogue/bars.h"

namespace leafstack {
namespace {

TEST(Bars, ABlockComesFromTheLightestThatHoldsIt) {
  const auto is = [](double one, double other, double larger, double smaller) {
    const auto bar = barFor(one, other);
    ASSERT_TRUE(bar);
    EXPECT_EQ(bar->larger_mm, larger) << one << " x " << other;
    EXPECT_EQ(bar->smaller_mm, smaller) << one << " x " << other;
  };
  is(32, 34, 35, 35);  // 1225 mm2; flats of 40 go up to 30
  is(32, 13, 35, 15);  // 525; 40 x 15 would be 600
  is(15, 40, 40, 15);  // as it is, either way round
  is(40.01, 15, 50, 15);
  EXPECT_FALSE(barFor(101, 20));
}

TEST(Bars, PlatesOnEachOtherMakeTheHeightUp) {
  EXPECT_EQ(platesToHeight_mm(34), (std::vector<double>{20, 12, 2}));
  EXPECT_EQ(platesToHeight_mm(30), (std::vector<double>{20, 10}));
  EXPECT_EQ(platesToHeight_mm(5), (std::vector<double>{5}));
  EXPECT_TRUE(platesToHeight_mm(0).empty());
  for (const double height : {0.4, 7.3, 40.59, 61.0}) {
    const std::vector<double> plates = platesToHeight_mm(height);
    EXPECT_NEAR(std::accumulate(plates.begin(), plates.end(), 0.0), height, 1e-9);
    for (std::size_t i = 0; i + 1 < plates.size(); ++i) {
      EXPECT_EQ(plateNoThicker_mm(plates[i]), plates[i]) << "only the last is a shim";
      EXPECT_GE(plates[i], plates[i + 1]);
    }
  }
}

}  // namespace
}  // namespace leafstack
