// The layout: check values of the trade, and its numbered properties on seeded random gates.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "generator/compare/misfit.h"
#include "generator/layout/layout.h"
#include "generator/layout/travel/motion.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

using gates::laidOut;
using gates::specOf;
using gates::specWith;

constexpr double kExactMm = 1e-9;
constexpr unsigned kRandomGates = 600;
constexpr unsigned kFirstSeed = 20240;

// ---------------------------------------------------------------- check values
// All of this section: common practice, no source.

struct RoomCase {
  gates::Changes changes;
  double room_mm;
  Binding binding;
};

void expectRoom(const RoomCase& expected) {
  const Layout layout = laidOut(specWith(expected.changes));
  EXPECT_NEAR(layout.room_mm, expected.room_mm, kExactMm);
  EXPECT_EQ(layout.binding, expected.binding) << ruleOf(layout.binding).id;
}

TEST(LayoutCheckValues, FlushPostStandard) {
  expectRoom({{{"/gate/panels", 2}}, 3300, Binding::kRack});
  expectRoom({{{"/gate/panels", 3}}, 2300, Binding::kRack});
  expectRoom({{{"/gate/panels", 4}}, 1892, Binding::kRopeBracket});
}

TEST(LayoutCheckValues, StaggeredThree) {
  const Layout layout = laidOut(specWith({{"/gate/panels", 3}, {"/gate/stacking", "staggered"}}));
  EXPECT_NEAR(layout.room_mm, 2498, kExactMm);
}

TEST(LayoutCheckValues, OverheadAndNarrow) {
  expectRoom({{{"/guides/mount", "overhead"}}, 3200, Binding::kRack});
  expectRoom({{{"/drive/motor", "narrow"}}, 3205, Binding::kRack});
  expectRoom(
      {{{"/guides/mount", "overhead"}, {"/drive/motor", "narrow"}}, 3184, Binding::kRopeGround});
  expectRoom({{{"/gate/panels", 3}, {"/guides/mount", "overhead"}}, 2288, Binding::kRopeBracket});
}

TEST(LayoutCheckValues, LeastOverlapIsEighty) {
  for (const PanelLayout& panel : laidOut(specWith({{"/gate/panels", 2}})).panels) {
    EXPECT_DOUBLE_EQ(panel.overlap_mm, panel.number == 1 ? 80 : 0);
  }
}

TEST(LayoutCheckValues, RulesOfThumb) {
  for (double opening : {4000.0, 5000.0, 6000.0, 8000.0}) {
    for (int panels : {2, 3}) {
      const Layout layout =
          laidOut(specWith({{"/site/opening_mm", opening}, {"/gate/panels", panels}}));
      EXPECT_DOUBLE_EQ(layout.room_rule_of_thumb_mm, opening / panels + 300);
      EXPECT_NEAR(layout.room_mm, layout.room_rule_of_thumb_mm, 100);
    }
    // One panel: the rule counts a longer tail than the arithmetic; both are shown.
    const Layout one = laidOut(specWith({{"/site/opening_mm", opening}, {"/gate/panels", 1}}));
    EXPECT_DOUBLE_EQ(one.room_rule_of_thumb_mm, opening + 400);
    EXPECT_LT(one.room_mm, one.room_rule_of_thumb_mm);
    EXPECT_GT(one.room_mm, opening + 200);
  }
}

TEST(LayoutCheckValues, GapAndGreatestCladding) {
  const StackLayout stack = laidOut(specWith()).stack;
  EXPECT_NEAR(stack.gap_mm, 81, kExactMm);
  EXPECT_NEAR(stack.cladding_max_mm, 34, kExactMm);
  EXPECT_NEAR(stack.packing_mm, 0, kExactMm);
  const StackLayout let_in =
      laidOut(specWith({{"/guides/rail_mm", 25}, {"/guides/recess_mm", 20}})).stack;
  EXPECT_NEAR(let_in.gap_mm, 55, 1);
}

TEST(LayoutCheckValues, ThickBoardsArePacked) {
  const auto packing = [](const char* kind, double thickness) {
    return laidOut(specWith(
                       {{"/gate/cladding/kind", kind}, {"/gate/cladding/thickness_mm", thickness}}))
        .stack.packing_mm;
  };
  EXPECT_NEAR(packing("boards", 40), 6, kExactMm);
  EXPECT_NEAR(packing("boards", 34), 0, kExactMm);
  EXPECT_NEAR(packing("battens", 60), 26, kExactMm);
  EXPECT_NEAR(packing("none", 60), 0, kExactMm);
}

TEST(LayoutCheckValues, FrontPanelStandsBehindTheFence) {
  const Layout layout =
      laidOut(specWith({{"/gate/cladding/kind", "boards"}, {"/gate/cladding/thickness_mm", 20}}));
  EXPECT_NEAR(layout.stack.setback_mm, 35, kExactMm);
  EXPECT_NEAR(layout.panel(2).front_y_mm, 35, kExactMm);
  EXPECT_NEAR(layout.panel(1).front_y_mm, 35 + 50 + 81, kExactMm);
}

TEST(LayoutCheckValues, MotorPacking) {
  const HeightLayout heights = laidOut(specWith()).heights;
  EXPECT_NEAR(heights.motor_packing_mm, 34, kExactMm);
  EXPECT_GE(heights.motor_packing_mm, 25);
  EXPECT_LE(heights.motor_packing_mm, 38);
  EXPECT_NEAR(heights.rack_lower_up_mm, 49, kExactMm);
}

TEST(LayoutCheckValues, NeighbouringRopesAtDifferentHeights) {
  const HeightLayout heights = laidOut(specWith({{"/gate/panels", 4}})).heights;
  EXPECT_EQ(heights.rope_up_mm, (std::vector<double>{36, 66, 36}));
}

TEST(LayoutCheckValues, PulleyPitchClearsTheRail) {
  EXPECT_NEAR(laidOut(specWith()).ropes.front().pitch_mm, 72, kExactMm);
}

// ---------------------------------------------------------------- properties L1 to L5

struct RandomLayout {
  std::string text;
  GateSpec spec;
  Layout layout;
};

/// Random gates that lay out; a rejected gate is one the layout refuses in words.
const std::vector<RandomLayout>& randomLayouts() {
  static const std::vector<RandomLayout> all = [] {
    std::vector<RandomLayout> found;
    for (unsigned i = 0; i < kRandomGates; ++i) {
      const gates::Json file = gates::GateDice(kFirstSeed + i).gate();
      const GateSpec spec = specOf(file);
      const LayoutResult result = layOut(spec);
      if (result.problems.empty()) {
        found.push_back({file.dump(), spec, result.layout});
      }
    }
    return found;
  }();
  return all;
}

TEST(LayoutProperties, MostRandomGatesLayOut) {
  EXPECT_GE(randomLayouts().size(), 500U);
}

TEST(LayoutProperties, L1TravelsAndCover) {
  for (const RandomLayout& gate : randomLayouts()) {
    SCOPED_TRACE(gate.text);
    const Layout& layout = gate.layout;
    const PanelSpec& panels = gate.spec.gate;
    const double w = gate.spec.site.opening_mm;
    const int n = *panels.panels;
    ASSERT_EQ(layout.panels.size(), static_cast<std::size_t>(n));
    const double travel = w + panels.closing_overlap_mm + panels.tuck_mm;
    EXPECT_NEAR(layout.drive_travel_mm, travel / n, kExactMm);
    for (const PanelLayout& panel : layout.panels) {
      EXPECT_NEAR(panel.travel_mm, panel.number * travel / n, kExactMm);
      EXPECT_NEAR(panel.leading_open_mm - panel.leading_closed_mm, panel.travel_mm, kExactMm);
      EXPECT_NEAR(panel.trailing_open_mm - panel.trailing_closed_mm, panel.travel_mm, kExactMm);
      EXPECT_NEAR(panel.trailing_closed_mm - panel.leading_closed_mm, panel.length_mm, kExactMm);
      EXPECT_LE(panel.frame_length_mm, panel.length_mm + kExactMm);
    }
    EXPECT_NEAR(layout.panel(n).leading_closed_mm, -panels.closing_overlap_mm, kExactMm);
    EXPECT_NEAR(layout.panel(n).leading_open_mm, w + panels.tuck_mm, kExactMm);
    EXPECT_GE(layout.panel(1).trailing_closed_mm, w);
    // Panel 1's frame, not only its bottom rail, reaches past the opening.
    EXPECT_GE(layout.panel(1).leading_closed_mm + layout.panel(1).frame_length_mm, w);
  }
}

TEST(LayoutProperties, L2Overlaps) {
  for (const RandomLayout& gate : randomLayouts()) {
    SCOPED_TRACE(gate.text);
    const GateSpec& spec = gate.spec;
    const double r = spec.ropes.pulley_inset_mm + spec.ropes.bracket_clearance_mm;
    const double s = spec.ropes.bracket_inset_mm;
    const double least = std::max({spec.gate.overlap_mm, spec.guides.channel_width_mm, r + s});
    std::vector<double> overlap;
    for (int k = 1; k < gate.layout.panel_count; ++k) {
      const PanelLayout& behind = gate.layout.panel(k);
      const PanelLayout& front = gate.layout.panel(k + 1);
      overlap.push_back(front.trailing_closed_mm - behind.leading_closed_mm);
      EXPECT_NEAR(overlap.back(), behind.overlap_mm, kExactMm);
      EXPECT_NEAR(behind.leading_open_mm - front.leading_open_mm, behind.stagger_mm, kExactMm);
      EXPECT_GE(behind.stagger_mm, 0);
      EXPECT_GE(overlap.back(), least - kExactMm);
    }
    for (int k = 2; k < gate.layout.panel_count; ++k) {
      const double has = overlap[k - 2] + gate.layout.panel(k - 1).stagger_mm;
      EXPECT_GE(has, std::max(overlap[k - 1] + r - s, 2 * r) - kExactMm) << "carrier " << k;
    }
  }
}

TEST(LayoutProperties, L2StackingKeepsItsWord) {
  for (const RandomLayout& gate : randomLayouts()) {
    SCOPED_TRACE(gate.text);
    const bool flush = gate.spec.gate.stacking == Stacking::kFlush;
    for (const PanelLayout& panel : gate.layout.panels) {
      if (flush) {
        EXPECT_EQ(panel.stagger_mm, 0);
      }
      if (!flush && panel.number >= 2) {  // staggered: panels 2 to n are alike
        EXPECT_NEAR(panel.length_mm, gate.layout.panel(2).length_mm, kExactMm);
      }
    }
  }
}

/// X of a carrier's two pulleys and of the brackets that hold its ropes, from the file's figures
/// and the motion alone (but for the rear bracket's place, which the layout chooses).
struct RopeStations {
  double leading = 0, trailing = 0, front = 0, rear = 0;
};

RopeStations stationsAt(const RandomLayout& gate, int carrier, double drive_mm) {
  const Layout& layout = gate.layout;
  const RopeSpec& ropes = gate.spec.ropes;
  const std::vector<double> speed =
      speedRatios(layout.panel_count, anchorsOneBehind(layout.panel_count));
  const double own = speed[carrier] * drive_mm;
  RopeStations at;
  at.leading = layout.panel(carrier).leading_closed_mm + ropes.pulley_inset_mm + own;
  at.trailing = layout.panel(carrier).trailing_closed_mm - ropes.pulley_inset_mm + own;
  at.front = layout.panel(carrier + 1).trailing_closed_mm - ropes.bracket_inset_mm +
             speed[carrier + 1] * drive_mm;
  at.rear = layout.ropes.at(carrier - 1).rear_bracket_mm + speed[carrier - 1] * drive_mm;
  return at;
}

TEST(LayoutProperties, L3BracketsKeepOffPulleysAndRopesKeepTheirLength) {
  constexpr int kPositions = 200;
  for (const RandomLayout& gate : randomLayouts()) {
    SCOPED_TRACE(gate.text);
    const double clearance = gate.spec.ropes.bracket_clearance_mm - kExactMm;
    for (int carrier = 1; carrier < gate.layout.panel_count; ++carrier) {
      const double half_turn = gate.layout.ropes[carrier - 1].pitch_mm * M_PI / 2;
      const RopeStations closed = stationsAt(gate, carrier, 0);
      const double opening_rope = 2 * closed.trailing - closed.front - closed.rear + half_turn;
      const double closing_rope = closed.front + closed.rear - 2 * closed.leading + half_turn;
      double least = closed.trailing - closed.leading;
      double worst_length = 0;
      for (int i = 0; i < kPositions; ++i) {
        const double drive = gate.layout.drive_travel_mm * i / (kPositions - 1);
        const RopeStations at = stationsAt(gate, carrier, drive);
        least = std::min({least, at.front - at.leading, at.trailing - at.front,
                          at.rear - at.leading, at.trailing - at.rear});
        const double opening = 2 * at.trailing - at.front - at.rear + half_turn;
        const double closing = at.front + at.rear - 2 * at.leading + half_turn;
        worst_length = std::max(
            {worst_length, std::abs(opening - opening_rope), std::abs(closing - closing_rope)});
      }
      EXPECT_GE(least, clearance) << "carrier " << carrier;
      EXPECT_LE(worst_length, kExactMm) << "carrier " << carrier;
    }
  }
}

TEST(LayoutProperties, L4ExtensionIsTheLeast) {
  for (const RandomLayout& gate : randomLayouts()) {
    SCOPED_TRACE(gate.text);
    const Layout& layout = gate.layout;
    EXPECT_NEAR(layout.panel(1).trailing_closed_mm - layout.opening_mm, layout.extension_mm,
                kExactMm);
    double least = layout.extension_mm;
    for (const ExtensionDemand& demand : layout.demands) {
      if (demand.applies) {
        EXPECT_GE(demand.slack_mm, -kLengthEqualMm);
        EXPECT_NEAR(demand.slack_mm, layout.extension_mm - demand.required_mm, kExactMm);
        least = std::min(least, demand.slack_mm);
      }
    }
    EXPECT_NEAR(least, 0, kLengthEqualMm);
    const double bound = layout.demands[layout.binding].slack_mm;
    EXPECT_NEAR(bound, 0, kLengthEqualMm) << ruleOf(layout.binding).id;
  }
}

TEST(LayoutProperties, L4DemandsFollowTheArithmetic) {
  for (const RandomLayout& gate : randomLayouts()) {
    SCOPED_TRACE(gate.text);
    const Layout& layout = gate.layout;
    const GateSpec& spec = gate.spec;
    double stagger = 0;
    for (const PanelLayout& panel : layout.panels) {
      stagger += panel.stagger_mm;
    }
    const double parked = spec.gate.tuck_mm + stagger;
    const double half = spec.guides.channel_width_mm / 2 + spec.guides.margin_mm;
    EXPECT_GE(layout.guide_mm, layout.opening_mm + parked + half - kExactMm);
    EXPECT_NEAR(layout.demands[Binding::kGuide].required_mm,
                layout.guide_mm + half - layout.opening_mm, kExactMm);
    const double r = spec.ropes.pulley_inset_mm + spec.ropes.bracket_clearance_mm;
    EXPECT_EQ(layout.demands[Binding::kRopeGround].applies, layout.panel_count > 1);
    if (layout.panel_count > 1) {
      EXPECT_NEAR(layout.demands[Binding::kRopeGround].required_mm, parked + 2 * r, kExactMm);
      EXPECT_NEAR(layout.demands[Binding::kRopeBracket].required_mm,
                  parked + layout.panel(1).overlap_mm + r - spec.ropes.bracket_inset_mm, kExactMm);
      EXPECT_GE(layout.ground_bracket_mm, layout.opening_mm + parked + r - kExactMm);
      EXPECT_LE(layout.ground_bracket_mm, layout.opening_mm + layout.extension_mm - r + kExactMm);
    }
  }
}

TEST(LayoutProperties, L4PinionHasRackOnBothSides) {
  for (const RandomLayout& gate : randomLayouts()) {
    SCOPED_TRACE(gate.text);
    const PanelLayout& back = gate.layout.panel(1);
    const DriveSpec& drive = gate.spec.drive;
    const double rack_start_open = back.leading_open_mm + drive.rack_inset_mm;
    EXPECT_GE(gate.layout.pinion_mm - rack_start_open, drive.motor.overrun_open_mm - kExactMm);
    EXPECT_GE(back.trailing_closed_mm - gate.layout.pinion_mm,
              drive.motor.overrun_closed_mm - kExactMm);
    // The motor stands in its room, off the driveway.
    EXPECT_NEAR(gate.layout.pinion_mm - gate.layout.motor_start_mm, drive.motor.length_mm / 2,
                kExactMm);
    EXPECT_GE(gate.layout.motor_start_mm, gate.layout.opening_mm + drive.motor_gap_mm - kExactMm);
  }
}

TEST(LayoutProperties, L5RoomIsTheFarthestTrailingEnd) {
  for (const RandomLayout& gate : randomLayouts()) {
    SCOPED_TRACE(gate.text);
    double farthest = 0;
    for (const PanelLayout& panel : gate.layout.panels) {
      farthest = std::max(farthest, panel.trailing_open_mm);
    }
    EXPECT_NEAR(gate.layout.room_mm, farthest - gate.layout.opening_mm, kExactMm);
  }
}

TEST(LayoutProperties, PanelsStandBehindOneAnotherByTheGap) {
  for (const RandomLayout& gate : randomLayouts()) {
    SCOPED_TRACE(gate.text);
    const StackLayout& stack = gate.layout.stack;
    const GuideSpec& guides = gate.spec.guides;
    EXPECT_NEAR(stack.gap_mm,
                guides.rail_mm + guides.channel_depth_mm + stack.packing_mm - guides.recess_mm,
                kExactMm);
    for (int k = 1; k < gate.layout.panel_count; ++k) {
      EXPECT_NEAR(gate.layout.panel(k).front_y_mm - gate.layout.panel(k + 1).front_y_mm,
                  stack.frame_depth_mm + stack.gap_mm, kExactMm);
    }
    if (gate.spec.gate.cladding.kind != CladdingKind::kNone) {
      // Common practice, no source: 15 clear between cladding and the guide rail before it.
      const double clear = stack.gap_mm - guides.rail_mm - gate.spec.gate.cladding.thickness_mm;
      EXPECT_GE(clear, 15 - kExactMm);
    }
  }
}

// ---------------------------------------------------------------- panels "auto", misfits

TEST(LayoutRoom, AutoTakesTheFewestPanelsThatFit) {
  const auto count = [](double room) {
    return laidOut(specWith({{"/gate/panels", "auto"}, {"/site/room_mm", room}})).panel_count;
  };
  EXPECT_EQ(count(8000), 1);
  EXPECT_EQ(count(3300), 2);
  EXPECT_EQ(count(3299), 3);
  EXPECT_EQ(count(2299), 4);
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
  const double needed = laidOut(spec).room_mm;
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
      EXPECT_LE(offered.layout.room_mm, needed - 1) << line;
      EXPECT_NEAR(offered.layout.room_mm, shownRoom(line), 0.005) << line;
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
                                            {"/site/room_mm", 3640}});
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
    EXPECT_NEAR(after.room_mm, shownRoom(line), 0.005) << line;
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
  GateSpec spec = specWith({{"/site/room_mm", 300}});
  const Layout layout = laidOut(spec);
  EXPECT_FALSE(layout.fits);
  const std::vector<std::string> lines = explainMisfit(spec, layout);
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_NE(lines[2].find("no arrangement"), std::string::npos) << lines[2];
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
