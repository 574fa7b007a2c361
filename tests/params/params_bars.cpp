// Bars and plates that merchants keep. Sizes after EN 10058 (flats), EN 10059 (squares), from
// memory.
#include <gtest/gtest.h>

#include <numeric>

#include "params/catalogue/bars.h"
#include "params/catalogue/sold.h"

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

// EN 10219 has 80x60x4 and 100x60x4, no 70x60x4 and no 90x60x4; EN 10056-1 no angle of 32.
TEST(Sold, WhatNobodyKeepsIsToldWithTheNext) {
  const auto is = [](const char* section, const char* instead) {
    const auto found = soldInstead(section, "steel");
    ASSERT_TRUE(found) << section;
    EXPECT_EQ(*found, instead) << section;
  };
  is("RHS 60x70x4", "RHS 80x60x4");
  is("RHS 60x90x4", "RHS 100x60x4");
  is("angle 32x32x4", "angle 35x35x4");
  is("flat 32x13", "flat 35x15");
  is("sleeve dia 17.2, bore 12.2", "round 18, turned and bored");
  is("plate 50x20x7", "plate 8");
  for (const char* sold :
       {"SHS 50x50x3", "RHS 100x50x3", "RHS 40x60x3", "angle 40x40x4", "round 20", "flat 35x15",
        "plate 120x27x8", "bent plate 55x56x80x6", "lipped channel 80x40x4", "block 200x150",
        "SHS 140x140x4", "plate 50x40x25"}) {
    EXPECT_FALSE(soldInstead(sold, "steel")) << sold;
  }
  // Extruded sizes are others: no angle of 32 or 35, boxes of 50 with a wall of 2.
  EXPECT_EQ(soldInstead("angle 32x32x4", "aluminium"), "angle 40x40x4");
  EXPECT_EQ(soldInstead("RHS 60x70x4", "aluminium"), "RHS 80x60x4");
  for (const char* sold : {"SHS 50x50x2", "RHS 50x25x2", "angle 40x40x3", "RHS 100x50x3"}) {
    EXPECT_FALSE(soldInstead(sold, "aluminium")) << sold;
  }
  EXPECT_FALSE(soldInstead("RHS 60x70x4", "timber"));
}

TEST(Sold, APostIsAsWideAsIsSoldWithItsDepth) {
  EXPECT_EQ(soldBeside_mm(60, 60, 4), 60);
  EXPECT_EQ(soldBeside_mm(60, 70, 4), 70);
  EXPECT_EQ(soldBeside_mm(60, 61.3, 4), 60) << "none is sold";
}

}  // namespace
}  // namespace leafstack
