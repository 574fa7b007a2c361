// Speeds that follow from ropes of fixed length.
#include <gtest/gtest.h>

#include <stdexcept>
#include <vector>

#include "generator/layout/travel/motion.h"

namespace leafstack {
namespace {

// Giancoli, Physics, 7th edition, ch. 6, question 11: with one movable pulley, rope anchored
// overhead, lifting the load by 1 m takes 2 m of rope. The load hangs on the pulley.
TEST(Motion, MovablePulleyTakesTwiceTheRope) {
  const std::vector<double> speed = speedRatios(2, {{1, 2, 0}});
  EXPECT_DOUBLE_EQ(speed[1], 1);  // the load
  EXPECT_DOUBLE_EQ(speed[2], 2);  // the rope's free end; driven by its carrier (reshator.com,
                                  // problem 1223) it goes s1 = 2 s2 as well
}

// Common practice, no source: panels run at 1 : 2 : 3 : 4 when every rope is anchored one behind.
TEST(Motion, AnchorsOneBehindGiveOneTwoThreeFour) {
  const std::vector<RopeAnchors> ropes = anchorsOneBehind(4);
  ASSERT_EQ(ropes.size(), 3U);
  const std::vector<double> speed = speedRatios(4, ropes);
  EXPECT_EQ(speed, (std::vector<double>{0, 1, 2, 3, 4}));
}

// Common practice, no source: a ground anchor for the second rope set makes a third panel run four
// times as fast and overshoot the opening by a third.
TEST(Motion, GroundAnchorForTheSecondRopesOvershoots) {
  const std::vector<double> speed = speedRatios(3, {{1, 2, 0}, {2, 3, 0}});
  EXPECT_EQ(speed, (std::vector<double>{0, 1, 2, 4}));
  EXPECT_DOUBLE_EQ(speed[3] / speedRatios(3, anchorsOneBehind(3))[3], 4.0 / 3.0);
}

// v_f = 2 v_c - v_a keeps every rope's length for any speeds it returns.
TEST(Motion, EveryRopeKeepsItsLength) {
  const std::vector<std::vector<RopeAnchors>> sets = {
      anchorsOneBehind(4), {{1, 2, 0}, {2, 3, 0}, {3, 4, 1}}, {{1, 2, 0}, {2, 3, 1}, {2, 4, 0}}};
  for (const std::vector<RopeAnchors>& ropes : sets) {
    const std::vector<double> speed = speedRatios(4, ropes);
    for (const RopeAnchors& rope : ropes) {
      const double front = speed[rope.front_end] - speed[rope.carrier];
      const double rear = speed[rope.rear_end] - speed[rope.carrier];
      EXPECT_DOUBLE_EQ(front + rear, 0);
    }
  }
}

TEST(Motion, OrderOfTheRopesDoesNotMatter) {
  const std::vector<RopeAnchors> backwards = {{3, 4, 2}, {2, 3, 1}, {1, 2, 0}};
  EXPECT_EQ(speedRatios(4, backwards), speedRatios(4, anchorsOneBehind(4)));
}

TEST(Motion, PanelWithoutRopeIsNamed) {
  try {
    speedRatios(3, {{1, 2, 0}});
    FAIL() << "panel 3 hangs on nothing";
  } catch (const std::invalid_argument& error) {
    EXPECT_NE(std::string(error.what()).find("panel 3"), std::string::npos) << error.what();
  }
}

TEST(Motion, RopesThatOnlyHoldEachOtherAreRejected) {
  // 2 and 3 hang on each other, and on nothing that is driven.
  EXPECT_THROW(speedRatios(3, {{2, 3, 0}, {3, 2, 0}}), std::invalid_argument);
}

TEST(Motion, ContradictionIsRejected) {
  // Panel 3 cannot run both 3 (anchored one behind) and 4 times as fast (anchored to the ground).
  EXPECT_THROW(speedRatios(3, {{1, 2, 0}, {2, 3, 1}, {2, 3, 0}}), std::invalid_argument);
  // Nor may a rope move the driven panel otherwise than the drive does.
  EXPECT_THROW(speedRatios(2, {{1, 2, 0}, {2, 1, 0}}), std::invalid_argument);
}

TEST(Motion, BodiesOutsideTheGateAreRejected) {
  EXPECT_THROW(speedRatios(2, {{1, 3, 0}}), std::invalid_argument);
  EXPECT_THROW(speedRatios(2, {{1, 2, -1}}), std::invalid_argument);
}

}  // namespace
}  // namespace leafstack
