// What build errors leave of the clearances.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "generator/clash/report/clash.h"
#include "tests/support/built_gates.h"
#include "tests/support/random_gates.h"
#include "tests/support/report_text.h"

namespace leafstack {
namespace {

using gates::modelWith;

TEST(ClashAsBuilt, LeavesLessThanDrawn) {
  const Model drawn = modelWith({{"/gate/panels", 3}});
  const Model built = modelWith({{"/gate/panels", 3}, {"/checks/build_tolerance_mm", 0.5}});
  EXPECT_TRUE(checkClashes(drawn).as_built.pairs.empty());
  const ClashReport report = checkClashes(built);
  EXPECT_EQ(report.verdict, Verdict::kClear) << allText(report);
  ASSERT_FALSE(report.as_built.pairs.empty());
  const BuiltPair& tightest = report.as_built.pairs.front();
  EXPECT_EQ(report.as_built.pairs_that_can_meet, 0);
  EXPECT_GT(tightest.left_mm, 0);
  // Two panels 0.5 out of place along every axis come nearer by 2 x 0.5 x sqrt 3 at most.
  EXPECT_GE(tightest.left_mm, tightest.as_drawn_mm - std::sqrt(3.0) - 1e-3);
  EXPECT_LT(tightest.left_mm, tightest.as_drawn_mm);
}

TEST(ClashAsBuilt, FlatFacesLoseTheTolerance) {
  // Rack and catch plate are flat and 9 apart; only the panel is out of place, by 6 towards the plate.
  const ClashReport report =
      checkClashes(modelWith({{"/gate/panels", 1}, {"/checks/build_tolerance_mm", 6}}));
  bool seen = false;
  for (const BuiltPair& pair : report.as_built.pairs) {
    const bool rack = pair.a.name == "rack" || pair.b.name == "rack";
    const bool plate = pair.a.name == "catch plate" || pair.b.name == "catch plate";
    if (rack && plate) {
      EXPECT_NEAR(pair.as_drawn_mm, 9, 1e-6);
      EXPECT_NEAR(pair.left_mm, 3, 1e-6);
      seen = true;
    }
  }
  EXPECT_TRUE(seen);
}

TEST(ClashAsBuilt, MoreThanTheGapsAllowIsTight) {
  const ClashReport report =
      checkClashes(modelWith({{"/gate/panels", 3}, {"/checks/build_tolerance_mm", 6}}));
  EXPECT_EQ(report.verdict, Verdict::kTight) << allText(report);
  EXPECT_TRUE(report.findings.empty());
  EXPECT_GT(report.as_built.pairs_that_can_meet, 0);
  const BuiltPair& tightest = report.as_built.pairs.front();
  EXPECT_EQ(tightest.left_mm, 0);
  EXPECT_LT(tightest.allowed_mm, 6);
  // Built to what is said to be allowed, nothing can meet.
  const ClashReport allowed = checkClashes(
      modelWith({{"/gate/panels", 3}, {"/checks/build_tolerance_mm", tightest.allowed_mm - 0.01}}));
  EXPECT_EQ(allowed.as_built.pairs_that_can_meet, 0);
  EXPECT_EQ(allowed.verdict, Verdict::kClear);
}

}  // namespace
}  // namespace leafstack
