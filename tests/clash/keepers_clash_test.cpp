// Keepers, receivers and stops through the travel: clear as drawn, and found where they foul.
#include <gtest/gtest.h>

#include <set>
#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/ground/latch.h"
#include "tests/support/built_gates.h"
#include "tests/support/report_text.h"

namespace leafstack {
namespace {

using gates::modelWith;

const Finding* findingOf(const ClashReport& report, FindingClass kind, const std::string& one,
                         const std::string& other) {
  for (const Finding& finding : report.findings) {
    const std::set<std::string> names = {finding.a.name, finding.b.name};
    if (finding.finding_class == kind && names == std::set<std::string>{one, other}) {
      return &finding;
    }
  }
  return nullptr;
}

TEST(ClashKeepers, ATrackKeeperInItsTrackIsFound) {
  Model model = modelWith({{"/gate/panels", 2}});
  // The near plate, 2 off the bar, 3 nearer.
  shift(model, instanceOf(model, PartKind::kTrackKeeper, 2), {0, 3, 0});
  const ClashReport report = checkClashes(model);
  EXPECT_EQ(report.verdict, Verdict::kClash);
  const Finding* finding =
      findingOf(report, FindingClass::kPenetration, "track keeper", "track bar");
  ASSERT_NE(finding, nullptr) << allText(report);
  EXPECT_NEAR(finding->depth_mm, 1, 0.1);
}

TEST(ClashKeepers, OneThatStandsTooWideIsNoKeeper) {
  Model model = modelWith({{"/gate/panels", 2}});
  shift(model, instanceOf(model, PartKind::kTrackKeeper, 1), {0, -1, 0});
  const ClashReport report = checkClashes(model);
  EXPECT_NE(findingOf(report, FindingClass::kContactLost, "track keeper", "track bar"), nullptr)
      << allText(report);
}

TEST(ClashKeepers, OneThatRunsOffItsTrackIsFound) {
  Model model = modelWith({{"/gate/panels", 1}});
  const int track = instanceOf(model, PartKind::kTrack, 0);
  const double length =
      model.instances[track].bounds.high[0] - model.instances[track].bounds.low[0];
  shift(model, track, {length / 2, 0, 0});
  const ClashReport report = checkClashes(model);
  EXPECT_NE(findingOf(report, FindingClass::kContactLost, "track keeper", "track bar"), nullptr)
      << allText(report);
}

TEST(ClashKeepers, ALiftKeeperOnItsRailIsFound) {
  Model model = modelWith({{"/gate/panels", 2}});
  shift(model, instanceOf(model, PartKind::kLiftKeeper, 1), {0, 0, -3});
  const ClashReport report = checkClashes(model);
  const Finding* finding =
      findingOf(report, FindingClass::kPenetration, "lift keeper", "guide rail");
  ASSERT_NE(finding, nullptr) << allText(report);
  EXPECT_NEAR(finding->depth_mm, 1, 0.1);
}

// A level top over ground that falls or rises 5 in 100: the blocks float, and lugs keep off the
// rail where it is highest.
TEST(ClashKeepers, LiftKeepersStandClearWhereBlocksFloat) {
  for (const double grade : {-0.05, 0.05}) {
    for (const char* top : {"level", "stepped"}) {
      const Model model =
          modelWith({{"/gate/panels", 3}, {"/site/grade", grade}, {"/gate/top", top}});
      EXPECT_EQ(checkClashes(model).verdict, Verdict::kClear) << grade << ' ' << top;
    }
  }
}

TEST(ClashReceivers, OneInTheWayIsFound) {
  Model model = modelWith({{"/gate/panels", 2}});
  shift(model, instanceOf(model, PartKind::kReceiver, 0), {0, 7, 0});
  const ClashReport report = checkClashes(model);
  EXPECT_EQ(report.verdict, Verdict::kClash);
  EXPECT_NE(findingOf(report, FindingClass::kPenetration, "top receiver", "stile"), nullptr)
      << allText(report);
}

TEST(ClashReceivers, LessThanTheLeastGapIsFound) {
  const Model model = modelWith({{"/gate/panels", 2}, {"/hardware/receiver/gap_mm", 2}});
  const ClashReport report = checkClashes(model);
  const Finding* finding =
      findingOf(report, FindingClass::kBelowClearance, "top receiver", "stile");
  ASSERT_NE(finding, nullptr) << allText(report);
  EXPECT_NEAR(finding->clearance_mm, 2, 0.01);
}

TEST(ClashReceivers, BoardsPassTheReceiverToo) {
  for (const char* kind : {"boards", "battens"}) {
    const Model model = modelWith(
        {{"/gate/panels", 2}, {"/gate/cladding/kind", kind}, {"/gate/cladding/thickness_mm", 22}});
    const ClashReport report = checkClashes(model);
    EXPECT_EQ(report.verdict, Verdict::kClear) << kind << allText(report);
  }
}

// Whatever stands out behind a panel's end, it is the rail that meets the stop, by its buffer.
TEST(ClashStops, MeetTheFrameNeverABracket) {
  const Model model = modelWith({{"/gate/panels", 3}});
  int rails = 0;
  for (const Contact& contact : model.contacts) {
    if (contact.kind != ContactKind::kStop) {
      continue;
    }
    const std::set<PartKind> kinds = {model.parts[model.instances[contact.a].part].kind,
                                      model.parts[model.instances[contact.b].part].kind};
    EXPECT_EQ(kinds, (std::set<PartKind>{PartKind::kCatchBuffer, PartKind::kBottomRail}));
    ++rails;
  }
  EXPECT_EQ(rails, 4) << "three open ends and the latch";
}

}  // namespace
}  // namespace leafstack
