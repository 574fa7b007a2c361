// The clash check: it finds what is wrong, names the right parts, and measures truly.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "generator/clash/findings/findings.h"
#include "generator/clash/proof/requirements.h"
#include "generator/clash/report/clash.h"
#include "generator/geometry/mesh/mesh.h"
#include "tests/support/built_gates.h"
#include "tests/support/random_gates.h"
#include "tests/support/report_text.h"

namespace leafstack {
namespace {

using gates::modelWith;

bool isOneOf(const std::string& name, const std::set<std::string>& names) {
  return names.count(name) > 0;
}

/// True when a finding of the class lies between two parts with these names, either way round.
const Finding* findingBetween(const ClashReport& report, FindingClass finding_class,
                              const std::set<std::string>& one,
                              const std::set<std::string>& other) {
  for (const Finding& finding : report.findings) {
    const bool named = (isOneOf(finding.a.name, one) && isOneOf(finding.b.name, other)) ||
                       (isOneOf(finding.b.name, one) && isOneOf(finding.a.name, other));
    if (finding.finding_class == finding_class && named) {
      return &finding;
    }
  }
  return nullptr;
}

// ---------------------------------------------------------------- gates that work

// Whether a rope bracket stands within its panel's length or projects, the rail meets the stop.
TEST(ClashGates, StopsMeetTheRailWhateverABracketDoes) {
  for (const double inset : {-14.0, 0.0, 20.0, 60.0}) {
    for (const int panels : {2, 4}) {
      const ClashReport report = checkClashes(modelWith(
          {{"/gate/panels", panels}, {"/site/grade", 0.05}, {"/ropes/bracket_inset_mm", inset}}));
      EXPECT_EQ(report.verdict, Verdict::kClear) << inset << ", " << panels << allText(report);
    }
  }
}

// ---------------------------------------------------------------- gates that cannot work

TEST(ClashGates, ThickBoardsWithoutPackingRunIntoTheGuides) {
  for (int panels : {2, 3}) {
    const ClashReport report = checkClashes(modelWith({{"/gate/panels", panels},
                                                       {"/gate/cladding/kind", "boards"},
                                                       {"/guides/packing_mm", 0},
                                                       {"/gate/cladding/thickness_mm", 60}}));
    SCOPED_TRACE(allText(report));
    EXPECT_EQ(report.verdict, Verdict::kClash);
    // 60 thick boards stand 11 into the guide rail, 49 before the face behind it.
    const Finding* finding =
        findingBetween(report, FindingClass::kPenetration, {"board"}, {"guide rail"});
    ASSERT_NE(finding, nullptr);
    EXPECT_EQ(finding->a.panel - finding->b.panel, 1) << "the rail's panel is the faster";
    EXPECT_GT(finding->volume_mm3, 0);
    EXPECT_GT(finding->depth_mm, 0);
    EXPECT_LE(finding->depth_mm, 11 + 1e-6);
  }
}

TEST(ClashGates, RopesAtOneHeightMeetOnThreePanels) {
  const ClashReport report =
      checkClashes(modelWith({{"/gate/panels", 3}, {"/ropes/heights_mm", {36, 36}}}));
  SCOPED_TRACE(allText(report));
  EXPECT_EQ(report.verdict, Verdict::kClash);
  // The bracket on panel 1's face that holds panel 2's ropes stands in the way of panel 1's own
  // closing rope, whose front strand always runs there.
  const Finding* finding =
      findingBetween(report, FindingClass::kPenetration, {"rear rope bracket"}, {"closing rope"});
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->a.panel, 1);
  EXPECT_EQ(finding->b.panel, 1);
}

TEST(ClashGates, NoSetbackRunsTheBoardsIntoTheFence) {
  const ClashReport report =
      checkClashes(modelWith({{"/gate/cladding/kind", "boards"}, {"/site/setback_mm", 0}}));
  SCOPED_TRACE(allText(report));
  EXPECT_EQ(report.verdict, Verdict::kClash);
  const Finding* finding =
      findingBetween(report, FindingClass::kPenetration, {"board"}, {"fence post"});
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->a.panel, 2);
  EXPECT_EQ(finding->b.panel, 0);
  EXPECT_NEAR(finding->depth_mm, 20, 1e-6) << "the boards' whole thickness";
  EXPECT_NE(finding->text.find("panel 2's board"), std::string::npos) << finding->text;
}

TEST(ClashGates, PlainGateIsClearWithAllContactsMet) {
  const Model model = modelWith({{"/gate/panels", 3}});
  const ClashReport report = checkClashes(model);
  EXPECT_EQ(report.verdict, Verdict::kClear) << allText(report);
  EXPECT_TRUE(report.findings.empty());
  EXPECT_GT(report.least_clearance_mm, 0);
  EXPECT_FALSE(report.least_clearance_between.empty());
  EXPECT_TRUE(report.proved_between_positions);
  const auto count = static_cast<int>(model.instances.size());
  EXPECT_EQ(report.pairs_checked, count * (count - 1) / 2);
  EXPECT_EQ(report.counts.by_bounds + report.counts.by_sweep + report.counts.declared,
            report.pairs_checked);
  EXPECT_EQ(report.counts.unresolved, 0);
  for (const ContactReport& row : report.designed_contacts) {
    EXPECT_LE(row.hits, row.pairs);
    EXPECT_GT(row.hits, 0) << row.a.name << " and " << row.b.name;
  }
}

// ---------------------------------------------------------------- models spoiled on purpose

TEST(ClashFinds, PostTooNearIsTightNotAClash) {
  Model model = modelWith({{"/gate/panels", 2}});
  // The storage-side fence post 4 nearer: 11 left of the 15 asked for, and still 1 off the footing.
  int post = -1;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const bool is_post = model.parts[model.instances[i].part].kind == PartKind::kFencePost;
    post = is_post && model.instances[i].bounds.low[0] > 1000 ? i : post;
  }
  ASSERT_GE(post, 0);
  shift(model, post, {0, 4, 0});
  const ClashReport report = checkClashes(model);
  SCOPED_TRACE(allText(report));
  EXPECT_EQ(report.verdict, Verdict::kTight);
  const Finding* finding =
      findingBetween(report, FindingClass::kBelowClearance, {"fence post"}, {"bottom rail"});
  ASSERT_NE(finding, nullptr);
  EXPECT_NEAR(finding->clearance_mm, 11, 1e-6);
  EXPECT_GT(finding->required_mm, 11);
}

TEST(ClashFinds, PartsOfOneBodyThatMeetUndeclared) {
  Model model = modelWith({{"/gate/panels", 1}});
  const int picket = instanceOf(model, PartKind::kPicket, 1);
  // Two pickets run into one another; both keep their welds.
  shift(model, picket, {60, 0, 0});
  const ClashReport report = checkClashes(model);
  SCOPED_TRACE(allText(report));
  EXPECT_EQ(report.verdict, Verdict::kClash);
  const Finding* finding =
      findingBetween(report, FindingClass::kPenetration, {"picket"}, {"picket"});
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->a.panel, 1);
  EXPECT_EQ(finding->b.panel, 1);
}

TEST(ClashFinds, AContactDeeperThanPermitted) {
  Model model = modelWith({{"/gate/panels", 2}});
  // The track stands 5 too high: the wheels run into it, contact or no contact.
  shift(model, instanceOf(model, PartKind::kTrack, 0), {0, 0, 5});
  const ClashReport report = checkClashes(model);
  EXPECT_NE(findingBetween(report, FindingClass::kPenetration, {"track bar"}, {"track wheel"}),
            nullptr)
      << allText(report);
}

TEST(ClashFinds, UndeclaredContactIsAClash) {
  Model model = modelWith({{"/gate/panels", 1}});
  const ClashReport sound = checkClashes(model);
  EXPECT_EQ(sound.verdict, Verdict::kClear) << allText(sound);
  const int picket = instanceOf(model, PartKind::kPicket, 1);
  const auto is_its = [picket](const Contact& contact) {
    return contact.a == picket || contact.b == picket;
  };
  model.contacts.erase(std::remove_if(model.contacts.begin(), model.contacts.end(), is_its),
                       model.contacts.end());
  const ClashReport report = checkClashes(model);
  EXPECT_EQ(report.verdict, Verdict::kClash);
  EXPECT_NE(findingBetween(report, FindingClass::kTouch, {"picket"}, {"bottom rail"}), nullptr)
      << allText(report);
}

TEST(ClashFinds, APartWhollyInsideAnother) {
  Model model = modelWith({{"/gate/panels", 1}});
  // Deep inside, no skin is near any skin.
  const int buffer = instanceOf(model, PartKind::kCatchBuffer, 0);
  const int footing = instanceOf(model, PartKind::kFooting, 0);
  const Bounds& ground = model.instances[footing].bounds;
  const Bounds& at = model.instances[buffer].bounds;
  shift(model, buffer,
        {ground.low[0] + 600 - at.low[0], ground.low[1] + 60 - at.low[1],
         ground.low[2] + 50 - at.low[2]});
  const ClashReport report = checkClashes(model);
  EXPECT_NE(findingBetween(report, FindingClass::kPenetration, {"stop buffer"}, {"footing"}),
            nullptr)
      << allText(report);
}

// ---------------------------------------------------------------- designed contacts

const ContactReport* contactOf(const ClashReport& report, const std::string& one,
                               const std::string& other, int panel) {
  for (const ContactReport& row : report.designed_contacts) {
    const bool named =
        (row.a.name == one && row.b.name == other) || (row.a.name == other && row.b.name == one);
    if (named && (row.a.panel == panel || row.b.panel == panel)) {
      return &row;
    }
  }
  return nullptr;
}

bool isThroughout(const std::vector<Stretch>& held, const Model& model) {
  return held.size() == 1 && held[0].from_mm <= 1e-3 &&
         held[0].to_mm >= model.layout.drive_travel_mm - 1e-3;
}

TEST(ClashContacts, HoldWhereTheyMust) {
  const Model model = modelWith({{"/gate/panels", 2}});
  const ClashReport report = checkClashes(model);
  for (int panel : {1, 2}) {
    const ContactReport* wheels = contactOf(report, "track wheel", "track bar", panel);
    ASSERT_NE(wheels, nullptr) << panel;
    EXPECT_EQ(wheels->kind, "rolling");
    // Panel 2's track is longer than a bar of 8000 gives: two pieces, and each wheel rolls on both.
    EXPECT_EQ(wheels->holds, panel == 1 ? "throughout" : "in turns");
    EXPECT_EQ(wheels->pairs, panel == 1 ? 2 : 4);
    EXPECT_EQ(wheels->hits, panel == 1 ? 2 : 4);
    EXPECT_TRUE(isThroughout(wheels->held_mm, model)) << "wheels never leave their track";
  }
  const ContactReport* blocks = contactOf(report, "guide block", "guide rail", 2);
  ASSERT_NE(blocks, nullptr);
  EXPECT_TRUE(isThroughout(blocks->held_mm, model)) << "panel 2's rail never leaves its block";
  // Two of a name meet panel 2: this one, and the end stop's when open.
  const auto buffer = std::find_if(
      report.designed_contacts.begin(), report.designed_contacts.end(),
      [](const ContactReport& row) { return row.reason == "the buffer stops the closed gate"; });
  ASSERT_NE(buffer, report.designed_contacts.end());
  EXPECT_EQ(buffer->holds, "at an end of the travel");
  ASSERT_EQ(buffer->held_mm.size(), 1u);
  EXPECT_EQ(buffer->held_mm[0].from_mm, 0);
  EXPECT_LT(buffer->held_mm[0].to_mm, 1) << "closed only";
  std::vector<Stretch> meshed;
  for (const ContactReport& row : report.designed_contacts) {
    EXPECT_GT(row.hits, 0) << row.a.name << " and " << row.b.name << ": " << row.reason;
    if (row.kind == "mesh") {
      EXPECT_EQ(row.holds, "in turns");
      meshed.insert(meshed.end(), row.held_mm.begin(), row.held_mm.end());
    }
  }
  EXPECT_TRUE(isThroughout(united(meshed), model)) << "one piece of rack is always in mesh";
}

const Finding* lostBetween(const ClashReport& report, const char* one, const char* other) {
  return findingBetween(report, FindingClass::kContactLost, {one}, {other});
}

TEST(ClashContacts, BlockThatLeavesItsRail) {
  Model model = modelWith({{"/gate/panels", 2}});
  // The panel's rail ends 300 short of where the block still is when closed: panel 2 moves 1 mm
  // further than panel 1 for every mm of drive, so the block comes onto the rail after 300.
  const int rail = instanceOf(model, PartKind::kGuideRail, 2);
  const int block = instanceOf(model, PartKind::kGuideBlock, 1);
  const double on_it = model.instances[block].bounds.high[0];
  const double was = model.instances[rail].bounds.high[0];
  ASSERT_GT(was, on_it) << "the block stands at the rail's trailing end when closed";
  shift(model, rail, {on_it - 300 - was, 0, 0});
  const ClashReport report = checkClashes(model);
  SCOPED_TRACE(allText(report));
  const Finding* lost = lostBetween(report, "guide block", "guide rail");
  ASSERT_NE(lost, nullptr);
  EXPECT_EQ(lost->fromMm(), 0);
  EXPECT_NEAR(lost->toMm(), 300, 0.01);
  EXPECT_EQ(report.verdict, Verdict::kClash);
}

TEST(ClashContacts, WheelOffItsTrack) {
  Model model =
      modelWith({{"/gate/panels", 1}, {"/shop/stock_lengths_mm", gates::Json::array({15000})}});
  const int track = instanceOf(model, PartKind::kTrack, 0);
  // The track ends 500 before where the trailing wheel stands when open.
  double farthest = 0;
  for (const Instance& one : model.instances) {
    if (model.parts[one.part].kind == PartKind::kWheel) {
      farthest = std::max(farthest, (one.bounds.low[0] + one.bounds.high[0]) / 2);
    }
  }
  const double travel = model.layout.drive_travel_mm;
  shift(model, track, {farthest + travel - 500 - model.instances[track].bounds.high[0], 0, 0});
  const ClashReport report = checkClashes(model);
  SCOPED_TRACE(allText(report));
  const Finding* lost = lostBetween(report, "track wheel", "track bar");
  ASSERT_NE(lost, nullptr);
  EXPECT_NEAR(lost->toMm(), travel, 1e-6);
}

TEST(ClashContacts, PinionOffItsRack) {
  Model model = modelWith({{"/gate/panels", 2}});
  shift(model, instanceOf(model, PartKind::kPinion, 0), {0, 0, -15});
  const ClashReport report = checkClashes(model);
  const Finding* lost = lostBetween(report, "pinion", "rack");
  ASSERT_NE(lost, nullptr) << allText(report);
  // Of the nearest length of rack: what the pinion was lowered by, and the play it had.
  EXPECT_LT(lost->clearance_mm, 20);
}

TEST(ClashContacts, BracketThatLostItsRope) {
  Model model = modelWith({{"/gate/panels", 2}});
  shift(model, instanceOf(model, PartKind::kGroundBracket, 0), {60, 0, 0});
  const ClashReport report = checkClashes(model);
  SCOPED_TRACE(allText(report));
  EXPECT_NE(lostBetween(report, "ground rope bracket", "closing rope"), nullptr);
}

TEST(ClashContacts, StopThatStopsNothing) {
  Model model = modelWith({{"/gate/panels", 2}});
  shift(model, instanceOf(model, PartKind::kCatchBuffer, 0), {40, 0, 0});
  const ClashReport report = checkClashes(model);
  SCOPED_TRACE(allText(report));
  EXPECT_NE(lostBetween(report, "stop buffer", "bottom rail"), nullptr);
}

// ---------------------------------------------------------------- requirements

TEST(ClashRequirements, ByClassOfPair) {
  GateSpec spec = gates::specWith({{"/checks/clearance_mm", 17}, {"/site/fence_clearance_mm", 22}});
  const auto required = [&spec](PartKind a, PartKind b) {
    const Requirement one = requiredClearance(spec, a, b);
    const Requirement other = requiredClearance(spec, b, a);
    EXPECT_EQ(one.clearance_mm, other.clearance_mm);
    EXPECT_FALSE(one.reason.empty());
    return one.clearance_mm;
  };
  EXPECT_EQ(required(PartKind::kPicket, PartKind::kStile), 17);
  EXPECT_EQ(required(PartKind::kBoard, PartKind::kGuideRail), 17);
  EXPECT_EQ(required(PartKind::kBoard, PartKind::kFencePost), 22);
  EXPECT_EQ(required(PartKind::kRope, PartKind::kRearBracket), 2);
  EXPECT_EQ(required(PartKind::kGuideBlock, PartKind::kGuideRail), 1);
  EXPECT_EQ(required(PartKind::kCatchPlate, PartKind::kBottomRail), 3);
  EXPECT_EQ(required(PartKind::kFrontBracket, PartKind::kStile), 5);
  EXPECT_EQ(required(PartKind::kFrontBracket, PartKind::kBoard), 17);
  spec.checks.hardware_clearance_mm = 4;
  spec.checks.guide_clearance_mm = 3;
  EXPECT_EQ(required(PartKind::kRope, PartKind::kRearBracket), 4);
  EXPECT_EQ(required(PartKind::kGuideBlock, PartKind::kGuideRail), 3);
  EXPECT_EQ(required(PartKind::kReturnUpright, PartKind::kStile), 17);
}

// ---------------------------------------------------------------- verdicts

TEST(ClashVerdict, FollowsTheWorstFinding) {
  const auto verdict = [](std::vector<FindingClass> classes) {
    std::vector<Finding> findings;
    for (FindingClass finding_class : classes) {
      findings.emplace_back();
      findings.back().finding_class = finding_class;
    }
    return verdictOf(findings);
  };
  EXPECT_EQ(verdict({}), Verdict::kClear);
  EXPECT_EQ(verdict({FindingClass::kBelowClearance}), Verdict::kTight);
  EXPECT_EQ(verdict({FindingClass::kBelowClearance, FindingClass::kUnresolved}),
            Verdict::kUnresolved);
  EXPECT_EQ(verdict({FindingClass::kUnresolved, FindingClass::kTouch}), Verdict::kClash);
  EXPECT_EQ(verdict({FindingClass::kBelowClearance, FindingClass::kPenetration}), Verdict::kClash);
}

TEST(ClashVerdict, SameInputSameReport) {
  const Model one = modelWith({{"/gate/panels", 2}, {"/site/setback_mm", 0}});
  const Model two = modelWith({{"/gate/panels", 2}, {"/site/setback_mm", 0}});
  const ClashReport first = checkClashes(one);
  const ClashReport second = checkClashes(two);
  EXPECT_EQ(allText(first), allText(second));
  EXPECT_EQ(first.least_clearance_mm, second.least_clearance_mm);
}

}  // namespace
}  // namespace leafstack
