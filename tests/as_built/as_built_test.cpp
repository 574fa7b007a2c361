// Measurements read, believed or asked about; solids that follow them; corrections and re-cuts by
// hand arithmetic; the tolerance budget against brute force.
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <string>

#include "generator/as_built/budget.h"
#include "generator/as_built/built_warnings.h"
#include "generator/as_built/corrections.h"
#include "generator/model/part_store.h"
#include "tests/as_built/distorted.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

using gates::Json;

std::string complaintsOf(const Json& file) {
  std::string all;
  for (const Diagnostic& problem : readGate(file.dump(), "gate.json").problems) {
    all += toString(problem) + "\n";
  }
  return all;
}

std::string questionsOf(const Json& file) {
  const GateSpec spec = gates::specOf(file);
  std::string all;
  for (const LayoutProblem& question : deviationsOf(spec, gates::laidOut(spec)).questions) {
    all += question.pointer + ": " + question.text + "\n";
  }
  return all;
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// A gate as built, found to work or put right.
struct Put {
  GateSpec spec;
  Layout drawn;
  Deviations off;
  PartStore parts;
  ProofStore proofs;
  Corrected built;

  explicit Put(const Json& file)
      : spec(gates::specOf(file)),
        drawn(gates::laidOut(spec)),
        off(deviationsOf(spec, drawn).off),
        built(correct({&spec, &drawn, &off}, {&parts, &proofs})) {}
};

const Adjustment* adjustmentOf(const Corrected& built, const std::string& what) {
  const auto found =
      std::find_if(built.adjustments.begin(), built.adjustments.end(),
                   [&](const Adjustment& one) { return one.what.starts_with(what); });
  return found == built.adjustments.end() ? nullptr : &*found;
}

Json twoPanels() {
  Json file = gates::gateFile();
  file["gate"]["panels"] = 2;
  return file;
}

double lengthOf(const Json& file, int panel) {
  return gates::laidOut(gates::specOf(file)).panel(panel).length_mm;
}

TEST(AsBuiltReading, EveryProblemAtOnceWithItsPlace) {
  Json file = twoPanels();
  file["as_built"] = {{"opening_mm", 5.6},
                      {"openning_mm", 5600},
                      {"panels", Json::array({{{"number", 7}, {"length_mm", 3.1}},
                                              {{"length_mm", 3100}, {"lenght_mm", 3100}},
                                              {{"number", 2}, {"bow_mm", nullptr}}})}};
  const std::string said = complaintsOf(file);
  EXPECT_TRUE(holds(said, "/as_built/opening_mm: 5.6 is too small")) << said;
  EXPECT_TRUE(holds(said, "if that was in m, write 5600")) << said;
  EXPECT_TRUE(holds(said, "did you mean \"opening_mm\"?")) << said;
  EXPECT_TRUE(holds(said, "/as_built/panels/0/number: 7 is no panel")) << said;
  EXPECT_TRUE(holds(said, "/as_built/panels/0/length_mm: 3.1 is too small")) << said;
  EXPECT_TRUE(holds(said, "if that was in m, write 3100")) << said;
  EXPECT_TRUE(holds(said, "did you mean \"length_mm\"?")) << said;
  EXPECT_TRUE(holds(said, "a measured panel without its number")) << said;
  EXPECT_TRUE(holds(said, "leave out what was not measured")) << said;
}

TEST(AsBuiltReading, TextsWithUnitsAreLengths) {
  Json file = twoPanels();
  file["as_built"]["panels"] = Json::array({{{"number", 2}, {"length_mm", "3.103 m"}}});
  EXPECT_NEAR(*gates::specOf(file).as_built.panel(2)->of(PanelMeasure::kLength), 3103, 1e-9);
}

TEST(AsBuiltQuestions, WhatContradictsIsAskedAbout) {
  Json file = twoPanels();
  const Layout drawn = gates::laidOut(gates::specOf(file));
  const PanelLayout& panel = drawn.panel(2);
  const double height = panel.topZ(panel.leading_closed_mm) - panel.underside_z_mm;
  const double diagonal = std::hypot(panel.length_mm, height);  // both, of a rectangle
  Json& one = file["as_built"]["panels"] = Json::array({{{"number", 2}}});
  one[0]["rising_diagonal_mm"] = diagonal;
  one[0]["falling_diagonal_mm"] = diagonal;
  EXPECT_EQ(questionsOf(file), "");
  // Equal and opposite: out of square by d^2 - s^2 over twice the length, which both say.
  one[0]["rising_diagonal_mm"] = diagonal + 5;
  one[0]["falling_diagonal_mm"] = diagonal - 5;
  EXPECT_EQ(questionsOf(file), "");
  // Both longer: no length, height or lean makes that.
  one[0]["falling_diagonal_mm"] = diagonal + 5;
  EXPECT_TRUE(holds(questionsOf(file), "do not go with its length and heights"));
  one[0] = {{"number", 2}, {"length_mm", panel.length_mm + 300}};
  EXPECT_TRUE(holds(questionsOf(file), "300 mm more than drawn"));
  one[0] = {{"number", 2}, {"length_mm", lengthOf(file, 1)}};
  EXPECT_TRUE(holds(questionsOf(file), "are the panels' numbers mixed up"));
  one[0] = {{"number", 4}, {"length_mm", panel.length_mm}};
  EXPECT_TRUE(holds(questionsOf(file), "there is no panel 4"));
  file["as_built"] = {{"opening_mm", drawn.opening_mm + 90}, {"guide_mm", drawn.guide_mm - 5}};
  EXPECT_TRUE(holds(questionsOf(file), "would stand in an opening"));
  file["as_built"] = {{"tracks_mm", {{0, 1}, {1000, 2}, {1500, 60}, {2000, 3}, {6000, 1}}}};
  EXPECT_TRUE(holds(questionsOf(file), "a laid bar does not bend so"));
  file["as_built"] = {{"tracks_mm", {{0, 0.001}, {3, 0.002}, {6, 0.001}}}};
  EXPECT_TRUE(holds(questionsOf(file), "if they are in m"));
  file["as_built"] = {{"tracks_mm", {{0, 700}, {6000, 702}}}};
  EXPECT_TRUE(holds(questionsOf(file), "measured from another datum"));
}

TEST(AsBuiltSolids, FollowWhatWasMeasured) {
  Json file = twoPanels();
  const double length = lengthOf(file, 2);
  file["as_built"]["panels"] = Json::array({{{"number", 2},
                                             {"length_mm", length + 3},
                                             {"leading_height_mm", 1652},
                                             {"trailing_height_mm", 1652}}});
  file["as_built"]["opening_mm"] = 5990;
  const Put put(file);
  const auto longest = [](const Model& model, PartKind kind, int panel) {
    double most = 0;
    for (const Instance& one : model.instances) {
      const Part& part = model.parts[one.part];
      if (part.kind == kind && one.panel == panel) {
        most = std::max(most, part.bounds.high[0] - part.bounds.low[0]);
      }
    }
    return most;
  };
  EXPECT_NEAR(longest(put.built.model, PartKind::kBottomRail, 2), length + 3, 1e-6);
  EXPECT_NEAR(longest(put.built.model, PartKind::kBottomRail, 1), lengthOf(file, 1), 1e-6);
  double top = 0, post = 0;
  for (const Instance& one : put.built.model.instances) {
    const PartKind kind = put.built.model.parts[one.part].kind;
    if (one.panel == 2 && kind == PartKind::kTopRail) {
      top = one.bounds.high[2];
    }
    if (kind == PartKind::kFencePost) {
      post = std::max(post, one.bounds.low[0]);
    }
  }
  const PanelLayout& drawn = put.drawn.panel(2);
  EXPECT_NEAR(top, drawn.underside_z_mm + 1652, 0.01);
  EXPECT_NEAR(post, 5990, 0.01);
}

TEST(AsBuiltCorrections, NothingMeasuredOffNeedsNothing) {
  Json file = twoPanels();
  const Layout drawn = gates::laidOut(gates::specOf(file));
  file["as_built"] = {{"opening_mm", drawn.opening_mm}, {"guide_mm", drawn.guide_mm}};
  const Put put(file);
  EXPECT_EQ(put.built.verdict, BuiltVerdict::kWorks);
  EXPECT_TRUE(put.built.adjustments.empty());
  EXPECT_EQ(put.built.proofs, 1);
}

// Ropes, by hand: a front panel 5 longer has its bracket 5 further along; the opening rope's front
// strand, from there to the trailing pulley, is 5 shorter, the closing one's 5 longer.
TEST(AsBuiltCorrections, RopesFollowTheLengths) {
  Json file = twoPanels();
  file["as_built"]["panels"] = Json::array({{{"number", 2}, {"length_mm", lengthOf(file, 2) + 5}}});
  const Put put(file);
  ASSERT_EQ(put.built.ropes.size(), 2u);
  for (const RopeSetting& rope : put.built.ropes) {
    const double along = put.built.set.panel(2).along_mm - 2 * put.built.set.panel(1).along_mm;
    EXPECT_NEAR(rope.longer_mm, (rope.opening ? -1 : 1) * (5 + along), 1e-6);
    EXPECT_TRUE(rope.isWithinRange());
  }
  EXPECT_EQ(put.built.verdict, BuiltVerdict::kWorksAfter);  // its end stop has to give way
  EXPECT_TRUE(put.built.proved.findings.empty());
}

// Where stops may not be moved a panel's open end has 4.5 to give (5 of gap, 0.5 kept) and its
// closed one as much: of a front panel L longer, L - 9 has to be cut off.
TEST(AsBuiltRecuts, LeastShorteningByHand) {
  const int cases = gates::rounds(2, 5);
  for (int i = 0; i < cases; ++i) {
    const double longer = 11 - 0.5 * i;
    Json file = twoPanels();
    file["as_built"] = {
        {"stops_most_mm", 0},
        {"panels", Json::array({{{"number", 2}, {"length_mm", lengthOf(file, 2) + longer}}})}};
    const Put put(file);
    ASSERT_EQ(put.built.verdict, BuiltVerdict::kRemake) << longer;
    EXPECT_NEAR(put.built.set.panel(2).shorten_mm, longer - 8, 1e-6) << longer;
    const Adjustment* const cut = adjustmentOf(put.built, "bottom rail");
    ASSERT_NE(cut, nullptr);
    EXPECT_TRUE(cut->is_remade);
    EXPECT_TRUE(holds(cut->text, "at the trailing end")) << cut->text;
    EXPECT_TRUE(put.built.proved.findings.empty());
  }
}

// A lug of the fixed guide stands 2 over panel 1's guide rail; 1 has to be left. Where neither post
// nor tracks may be packed, a panel H higher needs its rail H - 1 lower, in steps of 0.5.
TEST(AsBuiltRecuts, LeastLoweringByHand) {
  const int cases = gates::rounds(1, 5);
  for (int i = 0; i < cases; ++i) {
    const double higher = 5.25 + i;
    Json file = twoPanels();
    const Layout drawn = gates::laidOut(gates::specOf(file));
    const PanelLayout& panel = drawn.panel(1);
    const double height = panel.topZ(panel.leading_closed_mm) - panel.underside_z_mm + higher;
    file["site"]["shims_most_mm"] = 0;
    file["as_built"] = {{"posts_most_mm", 0},
                        {"panels", Json::array({{{"number", 1}, {"leading_height_mm", height}}})}};
    const Put put(file);
    ASSERT_EQ(put.built.verdict, BuiltVerdict::kRemake) << higher;
    EXPECT_NEAR(put.built.set.panel(1).rail_down_mm, std::ceil(2 * (higher - 1)) / 2, 1e-6)
        << higher;
    EXPECT_TRUE(put.built.proved.findings.empty());
  }
}

// A post and a motor stand where they stand: in each other they cannot.
TEST(AsBuiltQuestions, WhatWouldStandInEachOtherIsMeasuredAgain) {
  Json file = twoPanels();
  const Layout drawn = gates::laidOut(gates::specOf(file));
  file["as_built"] = {{"guide_mm", drawn.guide_mm + 20}, {"pinion_mm", drawn.pinion_mm - 20}};
  const Put put(file);
  EXPECT_EQ(put.built.verdict, BuiltVerdict::kCannot);
  ASSERT_FALSE(put.built.contradictions.empty());
  EXPECT_TRUE(holds(put.built.contradictions.front(), "Measure both again"));
  EXPECT_TRUE(holds(inWords(put.built), "What was measured cannot be"));
}

// What lies on the drive is not made longer by a panel that is; instances keep their marks.
TEST(AsBuiltSolids, TracksStayAndMarksAreKept) {
  Json file = gates::gateFile();
  file["gate"]["panels"] = 3;
  const GateSpec spec = gates::specOf(file);
  const Layout drawn = gates::laidOut(spec);
  Deviations off;
  off.panels.resize(3);
  off.panels[1].longer_mm = off.panels[1].frame_longer_mm = 7;
  const Model as_drawn = buildModel(spec, drawn);
  const BuiltGate gate{&spec, &drawn, &off, &as_drawn};
  const Model built = builtModel(gate, BuiltSettings(3), nullptr);
  ASSERT_EQ(built.instances.size(), as_drawn.instances.size());
  int longer = 0;
  for (std::size_t i = 0; i < built.instances.size(); ++i) {
    const Part& part = built.parts[built.instances[i].part];
    const Part& before = as_drawn.parts[as_drawn.instances[i].part];
    EXPECT_EQ(built.instanceName(static_cast<int>(i)), as_drawn.instanceName(static_cast<int>(i)));
    if (part.kind == PartKind::kTrack || part.kind == PartKind::kFooting) {
      EXPECT_NEAR(part.length_mm, before.length_mm, 1e-9) << part.mark;
    }
    longer += part.kind == PartKind::kBottomRail && part.length_mm > before.length_mm + 6.9 ? 1 : 0;
  }
  EXPECT_EQ(longer, 1);
}

/// What a dimension may be off while all else is as drawn: found by building and proving such gates
/// whole, with the ropes, stops, catch post and motor set to suit.
double reachByBuilding(const std::function<Json(double)>& off_by, double most_mm) {
  const auto works = [&](double off_mm) {
    const Put put(off_by(off_mm));
    return put.built.verdict == BuiltVerdict::kWorks ||
           put.built.verdict == BuiltVerdict::kWorksAfter;
  };
  double good = 0, bad = most_mm;
  if (works(bad)) {
    return bad;
  }
  while (std::abs(bad - good) > 0.3) {
    const double middle = (good + bad) / 2;
    (works(middle) ? good : bad) = middle;
  }
  return good;
}

// The budget's figures come from straight lines taken at the drawing; these from whole proofs. What
// is set goes in steps of 0.5.
TEST(AsBuiltBudget, AgreesWithGatesBuiltAndProvedWhole) {
  constexpr double kMost_mm = 20;
  Json plain = gates::gateFile();
  plain["gate"]["panels"] = 2;
  plain["site"]["shims_most_mm"] = 0;
  plain["site"]["grinding_most_mm"] = 0;
  plain["as_built"] = {{"posts_most_mm", 0}, {"uncertainty_mm", 0.1}};
  const GateSpec spec = gates::specOf(plain);
  const Layout drawn = gates::laidOut(spec);
  const ToleranceBudget budget = toleranceBudget(buildModel(spec, drawn));
  const PanelLayout& front = drawn.panel(2);
  const double height = front.topZ(front.leading_closed_mm) - front.underside_z_mm;
  const auto panel = [&](const char* key, double drawn_mm) {
    return [&plain, key = std::string(key), drawn_mm](double by) {
      Json file = plain;
      file["as_built"]["panels"] = Json::array({{{"number", 2}, {key, drawn_mm + by}}});
      return file;
    };
  };
  const auto site = [&](const char* key, double drawn_mm) {
    return [&plain, key = std::string(key), drawn_mm](double by) {
      Json file = plain;
      file["as_built"][key] = drawn_mm + by;
      return file;
    };
  };
  const std::vector<std::pair<std::string, std::function<Json(double)>>> asked = {
      {"panel 2's length", panel("length_mm", front.length_mm)},
      {"height of the fixed guide's channel", site("guide_top_mm", drawnChannelTopMm(drawn))},
      {"panel 2's height, by which its guide rail stands", panel("leading_height_mm", height)},
      {"place of the fixed guide along the track", site("guide_mm", drawn.guide_mm)}};
  for (int i = 0; i < gates::rounds(2, static_cast<int>(asked.size())); ++i) {
    const auto& [what, off_by] = asked[i];
    const auto row =
        std::find_if(budget.rows.begin(), budget.rows.end(),
                     [&, what = what](const ToleranceRow& one) { return one.what == what; });
    ASSERT_NE(row, budget.rows.end()) << what;
    EXPECT_NEAR(std::min(row->more_mm, kMost_mm), reachByBuilding(off_by, kMost_mm), 0.8) << what;
    EXPECT_NEAR(std::min(row->less_mm, kMost_mm), -reachByBuilding(off_by, -kMost_mm), 0.8) << what;
  }
}

}  // namespace
}  // namespace leafstack
