// Room beside the opening: panels "auto", misfits with their advice, and what is refused.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "generator/compare/misfit.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/layout.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

using gates::laidOut;
using gates::specWith;

// ---------------------------------------------------------------- panels "auto", misfits

TEST(LayoutRoom, AutoTakesTheFewestPanelsThatFit) {
  const auto count = [](double room) {
    return laidOut(specWith({{"/gate/panels", "auto"}, {"/site/room_mm", room}})).panel_count;
  };
  EXPECT_EQ(count(8000), 1);
  // 3300, 2300 for the panels (trade arithmetic), 37 for their stops.
  EXPECT_EQ(count(3337), 2);
  EXPECT_EQ(count(3336), 3);
  EXPECT_EQ(count(2336), 4);
  EXPECT_EQ(laidOut(specWith({{"/gate/panels", "auto"}})).panel_count, 2);
}

/// Arrangement named by a "would fit" line, applied to the gate.
GateSpec arrangementOf(const GateSpec& spec, const std::string& line) {
  GateSpec tried = spec;
  const std::string prefix = "would fit: ";
  tried.gate.panels = std::stoi(line.substr(prefix.size()));
  const auto says = [&line](const char* words) { return line.find(words) != std::string::npos; };
  if (says("flush")) tried.gate.stacking = Stacking::kFlush;
  if (says("staggered")) tried.gate.stacking = Stacking::kStaggered;
  if (says("guide post")) tried.guides.mount = GuideMount::kPost;
  if (says("overhead bracket")) tried.guides.mount = GuideMount::kOverhead;
  if (says("reach-over arm")) tried.guides.mount = GuideMount::kReachOver;
  if (says("narrow motor")) tried.drive.motor = {"narrow", 150, 20, 20};
  return tried;
}

double shownRoom(const std::string& line) {
  const std::string before = "room ";
  return std::stod(line.substr(line.find(before) + before.size()));
}

struct Misfit {
  gates::Changes changes;
  Binding binding;
  const char* named;  ///< what the advice must name
};

void expectHelpfulMisfit(const Misfit& misfit) {
  GateSpec spec = specWith(misfit.changes);
  const double needed = laidOut(spec).room_total_mm;
  spec.site.room_mm = needed;
  EXPECT_TRUE(laidOut(spec).fits) << "the exact room fits";
  spec.site.room_mm = needed - 1;
  const Layout layout = laidOut(spec);
  EXPECT_FALSE(layout.fits);
  EXPECT_EQ(layout.binding, misfit.binding) << ruleOf(layout.binding).id;
  const std::vector<std::string> lines = explainMisfit(spec, layout);
  ASSERT_GE(lines.size(), 3U);
  EXPECT_NE(lines[0].find("1 mm more"), std::string::npos) << lines[0];
  EXPECT_NE(lines[1].find(misfit.named), std::string::npos) << lines[1];
  EXPECT_NE(lines[1].find("binds"), std::string::npos) << lines[1];
  int offers = 0;
  for (const std::string& line : lines) {
    if (line.rfind("would fit: ", 0) == 0) {
      ++offers;
      const LayoutResult offered = layOut(arrangementOf(spec, line));
      EXPECT_TRUE(offered.problems.empty()) << line;
      EXPECT_TRUE(offered.layout.fits) << line;
      EXPECT_LE(offered.layout.room_total_mm, needed - 1) << line;
      EXPECT_NEAR(offered.layout.room_total_mm, shownRoom(line), 0.005) << line;
    }
  }
  EXPECT_GE(offers, 1) << lines[2];
}

TEST(LayoutRoom, OneMillimetreShortNamesTheConstraintAndWhatFits) {
  expectHelpfulMisfit({{{"/gate/panels", 2}}, Binding::kRack, "the rack"});
  expectHelpfulMisfit({{{"/guides/mount", "overhead"}, {"/drive/motor", "narrow"}},
                       Binding::kRopeGround,
                       "the ground rope"});
  expectHelpfulMisfit({{{"/gate/panels", 3}, {"/guides/mount", "overhead"}},
                       Binding::kRopeBracket,
                       "the rope bracket"});
  expectHelpfulMisfit({{{"/gate/panels", 3},
                        {"/guides/mount", "overhead"},
                        {"/drive/motor", "narrow"},
                        {"/guides/margin_mm", 200}},
                       Binding::kGuide,
                       "the guide"});
}

/// The value after "--set " in a line of advice.
std::string settingIn(const std::string& line) {
  const std::string before = "(--set ";
  const std::size_t from = line.find(before);
  return from == std::string::npos
             ? ""
             : line.substr(from + before.size(), line.find(')', from) - from - before.size());
}

/// A wide stile takes the return further past the opening than the guide. Every piece of advice is
/// followed through the gate file's reader and laid out again.
TEST(LayoutRoom, AdviceWhereTheReturnBindsHelps) {
  const gates::Json file = gates::gateFile({{"/gate/panels", 2},
                                            {"/gate/tuck_mm", 300},
                                            {"/gate/stile", "RHS 100x50x3"},
                                            {"/guides/mount", "overhead"},
                                            {"/site/room_mm", 3677}});
  const GateSpec spec = gates::specOf(file);
  const Layout layout = laidOut(spec);
  ASSERT_FALSE(layout.fits);
  EXPECT_EQ(layout.binding, Binding::kReturn);
  EXPECT_EQ(ruleOf(layout.binding).id, "return");
  EXPECT_NEAR(layout.demands[Binding::kReturn].slack_mm, 0, kLengthEqualMm);
  EXPECT_GT(layout.demands[Binding::kGuide].slack_mm, 1);
  const std::vector<std::string> lines = explainMisfit(spec, layout);
  EXPECT_NE(lines[1].find("the return binds"), std::string::npos) << lines[1];
  int followed = 0;
  for (const std::string& line : lines) {
    const std::string set = settingIn(line);
    if (set.empty()) {
      continue;
    }
    const std::size_t equals = set.find('=');
    const std::vector<Override> changes = {{set.substr(0, equals), set.substr(equals + 1)}};
    const ReadResult changed = readGate(file.dump(), "test gate", changes);
    ASSERT_TRUE(changed.gate.has_value()) << set;
    const Layout after = laidOut(changed.gate->spec);
    EXPECT_TRUE(after.fits) << line;
    EXPECT_NEAR(after.room_total_mm, shownRoom(line), 0.005) << line;
    ++followed;
  }
  EXPECT_GE(followed, 2);
  // What the words advise, each by itself.
  const auto roomWith = [&](const char* pointer, const gates::Json& value) {
    gates::Json changed = file;
    changed[gates::Json::json_pointer(pointer)] = value;
    return laidOut(gates::specOf(changed)).room_mm;
  };
  EXPECT_LT(roomWith("/gate/stile", "SHS 50x50x3"), layout.room_mm - 1);
  EXPECT_LT(roomWith("/gate/return", false), layout.room_mm - 1);
  gates::Json wider = file;
  wider["gate"]["overlap_mm"] = 120;
  EXPECT_GT(laidOut(gates::specOf(wider)).room_mm, layout.room_mm + 1);
}

TEST(LayoutRoom, NothingFitsIsSaid) {
  GateSpec spec = specWith({{"/site/room_mm", "300 mm"}});
  const Layout layout = laidOut(spec);
  EXPECT_FALSE(layout.fits);
  const std::vector<std::string> lines = explainMisfit(spec, layout);
  ASSERT_EQ(lines.size(), 2U) << "no advice that cannot help";
  EXPECT_NE(lines[1].find("no arrangement"), std::string::npos) << lines[1];
  // The least of all arrangements, each laid out here anew.
  double least_mm = layout.room_total_mm;
  for (const int panels : {1, 2, 3, 4}) {
    for (const char* stacking : {"flush", "staggered"}) {
      least_mm = std::min(least_mm, laidOut(specWith({{"/site/room_mm", "300 mm"},
                                                      {"/gate/panels", panels},
                                                      {"/gate/stacking", stacking}}))
                                        .room_total_mm);
    }
  }
  const std::string least = "the least change is " + shown(least_mm - 300) + " mm more room";
  EXPECT_NE(lines[1].find(least), std::string::npos) << lines[1] << "\n" << least;
}

// ---------------------------------------------------------------- refusals, in words

void expectProblem(const gates::Changes& changes, const std::string& pointer) {
  const LayoutResult result = layOut(specWith(changes));
  bool named = false;
  for (const LayoutProblem& problem : result.problems) {
    named |= problem.pointer == pointer && !problem.text.empty();
  }
  EXPECT_TRUE(named) << pointer;
}

TEST(LayoutRefusals, HardwareThatCannotWork) {
  expectProblem({{"/ropes/pulley_pitch_mm", 56}}, "/ropes/pulley_pitch_mm");
  expectProblem({{"/ropes/pulley_inset_mm", 41}}, "/ropes/pulley_inset_mm");
  expectProblem({{"/ropes/bracket_clearance_mm", 40}}, "/ropes/bracket_clearance_mm");
  expectProblem({{"/gate/bottom_rail", "RHS 60x50x3"}}, "/gate/bottom_rail");
  expectProblem({{"/site/opening_mm", 1000}, {"/gate/panels", 4}}, "/gate/panels");
  // The high bracket's top at the rail's: it would touch the stile.
  expectProblem(
      {{"/site/cross_grade", 0.1}, {"/gate/panels", 3}, {"/gate/cladding/kind", "boards"}},
      "/gate/bottom_rail");
}

// A channel wider than the post reaches over the motor, uphill down to it.
TEST(LayoutRefusals, AGuideChannelThatWouldStandInTheMotor) {
  for (const double height : {801.0, 1000.0}) {
    const gates::Changes gate = {
        {"/site/opening_mm", 11601},
        {"/site/grade", 0.062},
        {"/gate/height_mm", height},
        {"/gate/top", "level"},
        {"/guides/channel_width_mm", 109},
        {"/gate/bottom_rail", "RHS 100x60x4"},
        {"/gate/top_rail", "SHS 60x60x3"},
        {"/gate/stile", "RHS 40x60x4"},
        {"/ropes/pulley_inset_mm", 63},
        {"/drive/motor",
         {{"length_mm", 418}, {"overrun_closed_mm", 100}, {"overrun_open_mm", 100}}}};
    if (height < 1000) {
      expectProblem(gate, "/gate/height_mm");
    } else {
      EXPECT_TRUE(layOut(specWith(gate)).problems.empty());
    }
  }
}

}  // namespace
}  // namespace leafstack
