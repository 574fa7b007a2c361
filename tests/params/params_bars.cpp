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
  // What plates leave is made up of strip: 0.11 of one, 0.59 of two; less than 0.05 is left.
  EXPECT_EQ(platesToHeight_mm(34.11), (std::vector<double>{20, 12, 2, 0.1}));
  EXPECT_EQ(platesToHeight_mm(0.59), (std::vector<double>{0.5, 0.05}));
  for (const double height : {0.4, 7.3, 40.59, 61.0, 12.999, 0.04}) {
    const std::vector<double> plates = platesToHeight_mm(height);
    const double made_up = std::accumulate(plates.begin(), plates.end(), 0.0);
    EXPECT_LE(made_up, height + 1e-9);
    EXPECT_GT(made_up, height - 0.05);
    for (std::size_t i = 0; i < plates.size(); ++i) {
      EXPECT_TRUE(isShim(plates[i]) || plateNoThicker_mm(plates[i]) == plates[i]) << plates[i];
      EXPECT_TRUE(i == 0 || plates[i - 1] >= plates[i]);
    }
  }
}

}  // namespace
}  // namespace leafstack
