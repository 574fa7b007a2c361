// Where two methods disagree, nobody is told "clear".
#include <gtest/gtest.h>

#include <string>

#include "generator/clash/findings/findings.h"
#include "generator/clash/findings/measure.h"
#include "generator/occt/checked.h"
#include "tests/support/built_gates.h"
#include "tests/support/random_gates.h"
#include "tests/support/report_text.h"

namespace leafstack {
namespace {

using gates::modelWith;

/// Top rails of neighbouring panels: 31 apart at least, side by side throughout.
PairFinding railsSaidToBe(const Model& model, double clearance) {
  PairFinding pair;
  pair.a = instanceOf(model, PartKind::kTopRail, 1);
  pair.b = instanceOf(model, PartKind::kTopRail, 2);
  pair.fault = PairFault::kShort;
  pair.required = {100, "for the test"};
  pair.below = {{0, model.layout.drive_travel_mm}};
  pair.least.clearance_mm = clearance;
  pair.least.at_mm = model.layout.drive_travel_mm;
  return pair;
}

TEST(ClashJudgement, KernelMustAgreeAboutAClearance) {
  const Model model = modelWith({{"/gate/panels", 2}});
  PlacedShapes shapes(model);
  const int a = instanceOf(model, PartKind::kTopRail, 1);
  const int b = instanceOf(model, PartKind::kTopRail, 2);
  const double travel = model.layout.drive_travel_mm;
  const double truth = leastBetween(shapes, {a, b}, {travel, travel}, {1000}).clearance_mm;
  const auto agreed = groupFindings(shapes, {railsSaidToBe(model, truth)});
  ASSERT_EQ(agreed.size(), 1U);
  EXPECT_EQ(agreed[0].finding_class, FindingClass::kBelowClearance);
  EXPECT_NEAR(agreed[0].clearance_mm, truth, 1e-6);
  EXPECT_EQ(agreed[0].doubt, "");
  const auto disputed = groupFindings(shapes, {railsSaidToBe(model, truth - 1)});
  EXPECT_EQ(disputed[0].finding_class, FindingClass::kUnresolved);
  EXPECT_NE(disputed[0].text.find("the kernel says they are"), std::string::npos)
      << disputed[0].text;
  EXPECT_EQ(verdictOf(disputed), Verdict::kUnresolved);
}

TEST(ClashJudgement, KernelMustAgreeAboutAContact) {
  const Model model = modelWith({{"/gate/panels", 2}});
  PlacedShapes shapes(model);
  PairFinding pair = railsSaidToBe(model, 0);
  pair.contact = pair.below;
  const auto findings = groupFindings(shapes, {pair});
  EXPECT_EQ(findings[0].finding_class, FindingClass::kUnresolved) << findings[0].text;
}

TEST(ClashJudgement, DoubtLeftByTheMeshIsUnresolved) {
  const Model model = modelWith({{"/gate/panels", 2}});
  PlacedShapes shapes(model);
  PairFinding pair = railsSaidToBe(model, 50);
  pair.fault = PairFault::kUnresolved;
  const auto findings = groupFindings(shapes, {pair});
  EXPECT_EQ(findings[0].finding_class, FindingClass::kUnresolved);
  EXPECT_NE(findings[0].text.find("triangles leave open"), std::string::npos) << findings[0].text;
}

TEST(ClashJudgement, TrianglesMustEncloseTheSolidsVolume) {
  Model model = modelWith({{"/gate/panels", 1}});
  // As if a face of the picket had been lost on the way.
  const int picket = instanceOf(model, PartKind::kPicket, 1);
  model.parts[model.instances[picket].part].volume_mm3 *= 1.2;
  EXPECT_THROW(checkClashes(model), GeometryError);
}

}  // namespace
}  // namespace leafstack
