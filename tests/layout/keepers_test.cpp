// What holds panels on their tracks and at the latch, against figures worked out by hand.
#include <gtest/gtest.h>

#include <cmath>

#include "generator/layout/figures/keepers.h"
#include "generator/layout/ground/end_buffer.h"
#include "generator/layout/ground/latch.h"
#include "generator/layout/layout.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

constexpr double kByHandMm = 0.01;

// A bar of 20: a quarter is 5, plates from there to the rail's underside at 20 + 45 - 15 = 50, 2
// off the bar's 10; its flank leans by 45 degrees at 10 + 10/sqrt 2 = 17.07.
TEST(Keepers, BesideABar) {
  const GateSpec spec = gates::specWith({});
  const TrackKeepers keepers = trackKeepers(spec);
  EXPECT_NEAR(keepers.low_mm, 5, kByHandMm);
  EXPECT_NEAR(keepers.height_mm, 45, kByHandMm);
  EXPECT_NEAR(keepers.inner_half_mm, 12, kByHandMm);
  EXPECT_NEAR(keepers.outer_half_mm, 17, kByHandMm);
  EXPECT_NEAR(keepers.lets_go_mm, 12.07, kByHandMm);
  // It bears on the bar's widest part, 10 up. A groove 5 deep has its lip 8.66 aside: until 2 are
  // used up it climbs sqrt(100 - 6.66^2) - 5 = 2.46.
  EXPECT_NEAR(keeperLeverMm(spec), 50 - 10 + 2.46, kByHandMm);
  // Lifted by 8 the edge is 3 over the axis: the bar is sqrt(100 - 9) = 9.539 wide to a side there.
  EXPECT_NEAR(keepers.sidePlayMm(spec.hardware.track, 0), 2, kByHandMm);
  EXPECT_NEAR(keepers.sidePlayMm(spec.hardware.track, 5), 2, kByHandMm);
  EXPECT_NEAR(keepers.sidePlayMm(spec.hardware.track, 8), 2.461, kByHandMm);
}

// An angle of 25 x 4 on a flat of 15: 29/sqrt 2 + 15 = 35.506 to its heel, underside at 35.506 + 50
// - 18 = 67.506. Over its legs' 35.36 and 3 for welds merchants keep 40: plates from 4 up, 2 off
// its edges, held up to the flat's top. A rail 50 deep with corners of 2 x 3 is flat for 19 to a
// side, less than 21.5: a saddle of 5 under it, 53 wide.
TEST(Keepers, BesideTheFlatUnderAnAngle) {
  const GateSpec spec = gates::specWith({{"/hardware/set", "heavy"}});
  EXPECT_NEAR(trackHeight_mm(spec.hardware.track), 35.506, 1e-3);
  EXPECT_EQ(trackFlatWidth_mm(spec.hardware.track), 40);
  const TrackKeepers keepers = trackKeepers(spec);
  EXPECT_NEAR(keepers.low_mm, 4, kByHandMm);
  EXPECT_NEAR(keepers.inner_half_mm, 21.5, kByHandMm);
  EXPECT_NEAR(keepers.outer_half_mm, 26.5, kByHandMm);
  EXPECT_NEAR(keepers.saddle_mm, 5, kByHandMm);
  EXPECT_NEAR(keepers.height_mm, 67.506 - 4 - 5, kByHandMm);
  EXPECT_NEAR(keeperLeverMm(spec), 67.506 - 15 + 1.5, kByHandMm);  // climbed as far as aside
  EXPECT_NEAR(keepers.lets_go_mm, 11, kByHandMm);
  // Lifted out of the flat they stand beside the angle's legs, 25/sqrt 2 to a side, as far as these
  // go up: 4 + 20 = 24 is 35.506 - 24 = 11.506 under the heel.
  EXPECT_NEAR(keepers.sidePlayMm(spec.hardware.track, 11), 1.5, kByHandMm);
  EXPECT_NEAR(keepers.sidePlayMm(spec.hardware.track, 20), 21.5 - 11.506, kByHandMm);
}

// An angle of 40 x 4 by itself: heel at 44/sqrt 2 = 31.113, legs 28.28 to a side. A rail 50 deep
// leaves 25 - 5 = 20 to a side: 31.113 + 2 sqrt 2 - 20 = 13.94, rounded up. There the flank is
// 31.113 - 14 = 17.113 from the middle, and 2 square to it is 2.828 across.
TEST(Keepers, BesideAnAngleWiderThanTheRail) {
  const GateSpec spec = gates::specWith({{"/hardware/set", "heavy"},
                                         {"/hardware/track/size_mm", 40},
                                         {"/hardware/track/flat_mm", 0},
                                         {"/hardware/keeper/play_mm", 2}});
  const TrackKeepers keepers = trackKeepers(spec);
  EXPECT_NEAR(keepers.low_mm, 14, kByHandMm);
  EXPECT_NEAR(keepers.inner_half_mm, 19.94, kByHandMm);
  EXPECT_NEAR(keepers.lets_go_mm, 17.11, kByHandMm);
  EXPECT_NEAR(keepers.sidePlayMm(spec.hardware.track, 0), 2.83, kByHandMm);
  EXPECT_NEAR(keepers.sidePlayMm(spec.hardware.track, 3), 5.83, kByHandMm);
}

// On even ground every lug is 2 over its rail, and what is behind adds up.
TEST(Keepers, LiftAddsUpFromTheBackPanel) {
  const Layout layout = gates::laidOut(gates::specWith({{"/gate/panels", 3}}));
  for (int panel = 1; panel <= 3; ++panel) {
    EXPECT_NEAR(liftMm(layout, panel).low, 2 * panel, kByHandMm);
    EXPECT_NEAR(liftMm(layout, panel).high, 2 * panel, kByHandMm);
  }
}

// A level top over 5 in 100: panel 1's rail falls or rises by 0.05 x its travel in its block.
TEST(Keepers, LiftGrowsByWhatABlockFloats) {
  const Layout layout = gates::laidOut(
      gates::specWith({{"/gate/panels", 2}, {"/gate/top", "level"}, {"/site/grade", 0.05}}));
  EXPECT_NEAR(liftMm(layout, 1).high, 2 + 0.05 * layout.drive_travel_mm, 0.1);
  EXPECT_NEAR(liftMm(layout, 1).low, 2, 0.1);
}

// The front panel's top is at 1700 and its guide rail's underside 13 + 32 below it: the receiver
// keeps 5 off that, but is asked for 60 below the top. 3 off either face of 50, 30 past the end.
TEST(Latch, TopReceiverStandsUnderTheGuideRail) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 2}, {"/gate/height_mm", 1700}});
  const Layout layout = gates::laidOut(spec);
  const LatchLayout latch = latchOf(spec, layout);
  ASSERT_TRUE(latch.top);
  EXPECT_NEAR(latch.top->high_z_mm, 1640, kByHandMm);
  EXPECT_NEAR(latch.top->low_z_mm, 1560, kByHandMm);
  EXPECT_NEAR(latch.top->rear_y_mm - latch.top->front_y_mm, 56, kByHandMm);
  EXPECT_NEAR(latch.top->to_x_mm, layout.panels.back().leading_closed_mm + 30, kByHandMm);
  EXPECT_TRUE(latch.top->has_front);
  GateSpec higher = spec;
  higher.hardware.receiver.down_mm = 0;
  EXPECT_NEAR(latchOf(higher, layout).top->high_z_mm, 1700 - 45 - 5, kByHandMm);
}

// The bracket is 32 long and projects 12: 28 past the end; a buffer that gives way by a quarter has
// to be 28 / 0.75 = 37.33 thick, rounded up. Panel 1 has no bracket there.
TEST(EndBuffers, KeepTheBracketOffTheStop) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 3}, {"/ropes/bracket_inset_mm", -12}});
  const Layout layout = gates::laidOut(spec);
  EXPECT_NEAR(endBuffer(spec, layout, 1).thickness_mm, 20, kByHandMm);
  for (int panel : {2, 3}) {
    const EndBuffer buffer = endBuffer(spec, layout, panel);
    EXPECT_NEAR(buffer.thickness_mm, 38, kByHandMm);
    EXPECT_GE(buffer.high_up_mm - buffer.low_up_mm, 20) << panel;
  }
}

}  // namespace
}  // namespace leafstack
