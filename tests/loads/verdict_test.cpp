// What the first line says of a gate that is ready on a condition only, and of keepers that let go.
#include <gtest/gtest.h>

#include <string>

#include "generator/loads/loads.h"
#include "generator/verdict/gate_verdict.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

const Warning* warningOf(const std::vector<Warning>& warnings, const std::string& id) {
  for (const Warning& warning : warnings) {
    if (warning.id == id) {
      return &warning;
    }
  }
  return nullptr;
}

/// The line over a clear gate with this warning alone.
std::string lineOf(const Warning& warning) {
  ClashReport clash;
  clash.verdict = Verdict::kClear;
  return inWords(gateVerdict({warning}, &clash));
}

// 10 in 100 is more than wheels hold by rolling resistance: no bare READY, but under a gear that
// the shelf says locks itself.
TEST(VerdictLine, SaysThatAGateRunsByGravity) {
  Model model = gates::modelWith({{"/site/grade", -0.1}, {"/gate/panels", 2}});
  const LoadReport loads = findLoads(model);
  const std::vector<Warning> warnings = warningsOf(model, loads);
  const Warning* warning = warningOf(warnings, "runs-by-gravity");
  ASSERT_NE(warning, nullptr);
  const std::string line = lineOf(*warning);
  EXPECT_EQ(line.find("READY, provided its drive holds "), 0U) << line;
  EXPECT_NE(line.find(" N when off (released, it runs open by itself): "), std::string::npos)
      << line;
  // What it has to hold: no less than what pulls at it, by what resists rolling more.
  EXPECT_GE(loads.drive.holding_force_N, loads.drive.runaways.front().force_N);
  model.spec.hardware.motor.self_locking = true;
  const std::vector<Warning> locked = warningsOf(model, loads);
  EXPECT_EQ(lineOf(*warningOf(locked, "runs-by-gravity")).find("READY: "), 0U);
}

std::vector<Warning> layoutsWarnings(gates::Changes changes) {
  const GateSpec spec = gates::specWith(changes);
  return warningsOf(spec, gates::laidOut(spec));
}

// Bars of 20 hold a plate up to 17.07 over the footing. Level tops on 5 in 100 let a panel rise by
// tens of mm in its block: ready, provided that nothing lifts it. Raked ones do not.
TEST(VerdictLine, SaysWhereOnlyWeightHoldsAPanelDown) {
  const std::vector<Warning> warnings =
      layoutsWarnings({{"/site/grade", 0.05}, {"/gate/top", "level"}, {"/gate/panels", 2}});
  const Warning* warning = warningOf(warnings, "keepers-let-go");
  ASSERT_NE(warning, nullptr);
  EXPECT_EQ(lineOf(*warning).find("READY, provided nothing lifts panel 1 by 12.1 mm"), 0U)
      << lineOf(*warning);
  EXPECT_EQ(
      warningOf(layoutsWarnings({{"/site/grade", 0.05}, {"/gate/panels", 2}}), "keepers-let-go"),
      nullptr);
}

// A crest of 26 over 2 m: plates stand higher where the track rises beside them, and lower ground
// leaves less of it. What is left is under the 2 that each lug gives and 1 to spare.
TEST(VerdictLine, SurveyedGroundThatLeavesKeepersTooLittleIsNotReady) {
  const gates::Json crest = gates::Json::parse("[[0,0],[2000,0],[3000,26],[4000,0],[9000,0]]");
  const std::vector<Warning> warnings = layoutsWarnings(
      {{"/site/opening_mm", 5000}, {"/gate/panels", 2}, {"/site/track_survey_mm", crest}});
  const Warning* warning = warningOf(warnings, "keepers-let-go");
  ASSERT_NE(warning, nullptr);
  EXPECT_EQ(lineOf(*warning).find("NOT READY: panel "), 0U) << lineOf(*warning);
  EXPECT_NE(lineOf(*warning).find("can be lifted out of its track keepers"), std::string::npos);
  // Laid straight, the footing is made good.
  EXPECT_EQ(warningOf(layoutsWarnings({{"/site/opening_mm", 5000},
                                       {"/gate/panels", 2},
                                       {"/site/track_survey_mm", crest},
                                       {"/site/track_laying", "straight"},
                                       {"/site/shims_most_mm", 60}}),
                      "keepers-let-go"),
            nullptr);
}

}  // namespace
}  // namespace leafstack
