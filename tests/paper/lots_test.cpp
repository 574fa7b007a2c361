// Lots of views on sheets: none on another, none outside, as many on a sheet as there is room for.
#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "exporters/paper/blocks/lots.h"
#include "tests/support/dice.h"

namespace leafstack {
namespace {

bool areSame(const PaperBox& a, const PaperBox& b) {
  return a.left_mm == b.left_mm && a.bottom_mm == b.bottom_mm && a.right_mm == b.right_mm &&
         a.top_mm == b.top_mm;
}

// By hand, on sheets of 100 x 100: the second has no room beside or below the first, the third
// stands to the right of it, the fourth below it.
TEST(Lots, StandOnTheFirstSheetWithRoom) {
  std::vector<FreeRoom> rooms;
  const auto places =
      placedLots({{60, 60}, {60, 60}, {30, 30}, {90, 40}}, {{0, 0, 100, 100}}, rooms);
  ASSERT_EQ(places.size(), 4U);
  EXPECT_EQ(rooms.size(), 2U);
  EXPECT_TRUE(areSame(places[0].box, {0, 40, 60, 100}));
  EXPECT_EQ(places[1].sheet, 1U);
  EXPECT_EQ(places[2].sheet, 0U);
  EXPECT_TRUE(areSame(places[2].box, {60, 70, 90, 100}));
  EXPECT_EQ(places[3].sheet, 0U);
  EXPECT_TRUE(areSame(places[3].box, {0, 0, 90, 40}));
}

// A sheet's room as it is: above the title block, and to its left.
TEST(Lots, NeverOverlapOrLeaveTheSheet) {
  const std::vector<PaperBox> empty = {{0, 50, 380, 270}, {0, 0, 200, 270}};
  Dice dice(2323);
  std::size_t most = 0;
  for (int round = 0; round < 200; ++round) {
    std::vector<PaperRoom> lots;
    const int count = 1 + dice.below(14);
    for (int i = 0; i < count; ++i) {
      lots.push_back({dice.in(10, 200), dice.in(10, 220)});
    }
    std::vector<FreeRoom> rooms;
    const std::vector<LotPlace> places = placedLots(lots, empty, rooms);
    ASSERT_EQ(places.size(), lots.size());
    most = std::max(most, rooms.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
      const PaperBox& box = places[i].box;
      EXPECT_NEAR(box.widthMm(), lots[i].width_mm, 1e-9);
      EXPECT_NEAR(box.heightMm(), lots[i].height_mm, 1e-9);
      EXPECT_LT(places[i].sheet, rooms.size());
      EXPECT_TRUE(std::any_of(empty.begin(), empty.end(),
                              [&](const PaperBox& room) { return room.grown(1e-9).holds(box); }));
      for (std::size_t j = 0; j < i; ++j) {
        EXPECT_FALSE(places[j].sheet == places[i].sheet &&
                     places[j].box.grown(-1e-9).overlaps(box.grown(-1e-9)))
            << round << ": " << j << ", " << i;
      }
    }
    // What stands on a later sheet had no room on an earlier one: nor has it when all are placed.
    for (std::size_t i = 0; i < places.size(); ++i) {
      for (std::size_t before = 0; before < places[i].sheet; ++before) {
        FreeRoom left = rooms[before];
        PaperBox place;
        EXPECT_FALSE(left.take(lots[i], place));
      }
    }
  }
  EXPECT_GT(most, 2U);
}

}  // namespace
}  // namespace leafstack
