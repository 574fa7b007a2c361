// A surveyed line for every track: a slab that twists. Judged by another spline's solver
// (reference_ground.h), by lines one can work out by hand, and by the clash check. Own scenarios.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "generator/clash/report/clash.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/survey.h"
#include "generator/layout/layout.h"
#include "generator/verdict/warnings.h"
#include "tests/layout/uneven/reference_ground.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;
using ground_reference::Points;
using ground_reference::ReferenceGround;

/// Back track first; over 12 m, a few mm apart and crossing.
const std::vector<Points> kTwisted = {
    {{-500, 2}, {0, 1}, {1500, -4}, {3000, -5}, {4500, 0}, {6000, 3}, {8000, 5}, {12000, 7}},
    {{-500, 1}, {0, 1}, {1500, -6}, {3000, -5}, {4500, 3}, {6000, 6}, {8000, 8}, {12000, 9}},
    {{-500, 0}, {0, 0}, {1500, -8}, {3000, -5}, {4500, 6}, {6000, 9}, {8000, 12}, {12000, 12}}};

Json twistedGate(int panels, const char* opens) {
  Json file = gates::gateFile({{"/gate/panels", panels}, {"/site/opens", opens}});
  file["site"]["track_survey_mm"] = Json::array();
  for (int k = 1; k <= panels; ++k) {
    file["site"]["track_survey_mm"].push_back(kTwisted[k == panels ? 2 : k - 1]);
  }
  return file;
}

/// From a point down to a line, the shortest way, by counting off.
double offLine(const ReferenceGround& line, double x, double z) {
  double least = 1e9;
  for (int i = -4000; i <= 4000; ++i) {
    const double at = x + i * 0.01;
    least = std::min(least, std::hypot(at - x, line.height(at) - z));
  }
  return least;
}

// The wheels as drawn, wherever the panels stand, run on the line of their own track: the bar's
// height and the wheel's running radius over the footing, which lies as high over the driveway as
// the layout says. Another's line would be off by millimetres.
TEST(TrackLines, EveryWheelRunsOnItsOwn) {
  for (const char* opens : {"right", "left"}) {
    for (int panels = 2; panels <= 3; ++panels) {
      const GateSpec spec = gates::specOf(twistedGate(panels, opens));
      const Model model = buildModel(spec, gates::laidOut(spec));
      const HardwareSpec& shelf = spec.hardware;
      const double off = shelf.track.size_mm + shelf.wheel.running_mm / 2;
      const double footing = spec.gate.ground_clearance_mm - undersideOverFootingMm(shelf);
      int wheels = 0;
      for (const Instance& one : model.instances) {
        if (model.parts[one.part].kind != PartKind::kWheel) {
          continue;
        }
        ++wheels;
        Points points = kTwisted[one.panel == panels ? 2 : one.panel - 1];
        const double datum = ReferenceGround(kTwisted[2]).height(0);
        for (auto& point : points) {
          point[1] += footing - datum;
        }
        const ReferenceGround line(points);
        const gp_XYZ at = one.at_closed.Transformation().TranslationPart();
        for (int i = 0; i <= 20; ++i) {
          const Pose pose =
              model.layout.ground.travels[one.body]->at(model.layout.drive_travel_mm * i / 20);
          const auto there = carried(pose, {at.X() * model.opening_sign, at.Y(), at.Z()});
          EXPECT_NEAR(offLine(line, there[0], there[2]), off, 2e-3)
              << opens << " panel " << one.panel << " position " << i;
        }
      }
      EXPECT_EQ(wheels, 2 * panels);
    }
  }
}

TEST(TrackLines, GroundGoesStraightAcrossFromTrackToTrack) {
  const Layout layout = gates::laidOut(gates::specOf(twistedGate(3, "right")));
  for (const double x : {0.0, 1234.0, 4500.0, 7000.0}) {
    std::vector<double> heights;
    for (int k = 1; k <= 3; ++k) {
      heights.push_back(ReferenceGround(kTwisted[k - 1]).height(x));
      const double y = layout.panel(k).front_y_mm + layout.stack.frame_depth_mm / 2;
      EXPECT_NEAR(layout.ground.heightMm(x, y), heights.back(), 1e-6);
    }
    const double y = layout.panel(1).front_y_mm + layout.stack.frame_depth_mm / 2;
    const double apart = layout.stack.frame_depth_mm + layout.stack.gap_mm;
    EXPECT_NEAR(layout.ground.heightMm(x, y - apart / 4), 0.75 * heights[0] + 0.25 * heights[1],
                1e-6);
    EXPECT_NEAR(layout.ground.heightMm(x, y + 500), heights[0], 1e-6);
    EXPECT_NEAR(layout.ground.heightMm(x, 0), heights[2], 1e-6);
  }
}

TEST(TrackLines, OneLineIsOneLineHoweverWritten) {
  Json file = gates::gateFile({{"/gate/panels", 2}});
  file["site"]["track_survey_mm"] = kTwisted[2];
  const Layout plain = gates::laidOut(gates::specOf(file));
  file["site"]["track_survey_mm"] = Json::array({kTwisted[2]});
  const Layout nested = gates::laidOut(gates::specOf(file));
  file["site"]["track_survey_mm"] = Json::array({kTwisted[2], kTwisted[2]});
  const Layout both = gates::laidOut(gates::specOf(file));
  for (const Layout* other : {&nested, &both}) {
    EXPECT_EQ(plain.room_mm, other->room_mm);
    for (int k = 1; k <= 2; ++k) {
      EXPECT_EQ(plain.panel(k).grade, other->panel(k).grade);
      EXPECT_EQ(plain.panel(k).underside_z_mm, other->panel(k).underside_z_mm);
      EXPECT_EQ(plain.panel(k).least_ground_mm, other->panel(k).least_ground_mm);
    }
  }
  EXPECT_TRUE(nested.ground.track_rises.empty());
  ASSERT_EQ(both.ground.track_rises.size(), 2U);
  EXPECT_EQ(both.ground.track_rises[0].rise_mm, 0);
}

TEST(TrackLines, TwistedSlabsAreClearAndProved) {
  for (const char* opens : {"right", "left"}) {
    for (int panels = 2; panels <= 3; ++panels) {
      const GateSpec spec = gates::specOf(twistedGate(panels, opens));
      const ClashReport report = checkClashes(buildModel(spec, gates::laidOut(spec)));
      EXPECT_TRUE(report.verdict == Verdict::kClear || report.verdict == Verdict::kTight)
          << opens << panels << report.findings.front().text;
      EXPECT_TRUE(report.proved_between_positions);
    }
  }
}

std::string problemsIn(const Json& file) {
  std::string out;
  for (const LayoutProblem& problem : layOut(gates::specOf(file)).problems) {
    out += problem.pointer + ": " + problem.text + "\n";
  }
  return out;
}

void expectSays(const std::string& text, const std::string& part) {
  EXPECT_NE(text.find(part), std::string::npos) << "\"" << part << "\" is not in:\n" << text;
}

// Two datums: the back line 60 mm over the front one, which goes into panel 2's way, 50 mm up.
// And dips of 200 mm radius or less, which take no wheel of 65 mm, in either line: all told at
// once.
TEST(TrackLines, EverythingWrongIsNamedWithPlacePanelAndMm) {
  Json file = gates::gateFile({{"/gate/panels", 2}});
  const Points level = {{-500, 0}, {12000, 0}};
  const Points high = {{-500, 60}, {12000, 60}};
  const Points pit = {{-500, 0}, {2980, 0}, {3000, -4}, {3020, 0}, {12000, 0}};
  file["site"]["track_survey_mm"] = {high, level};
  expectSays(problemsIn(file), "the line of track 1 lies 60 mm over that of track 2 beside it");
  expectSays(problemsIn(file), "the bottom rail of panel 2 is 50 mm");
  file["site"]["track_survey_mm"] = {level, high};
  expectSays(problemsIn(file), "the line of track 2 lies 60 mm over that of track 1 beside it");
  Points pit_high = pit;
  for (auto& point : pit_high) {
    point[1] += 60;
  }
  file["site"]["track_survey_mm"] = {pit_high, pit};
  const std::string all = problemsIn(file);
  expectSays(all, "track 1 dips too sharply for a wheel at ");
  expectSays(all, "track 2 dips too sharply for a wheel at ");
  expectSays(all, " mm off the bottom");
  expectSays(all, "where those of panel 1 would lift");
  expectSays(all, "where those of panel 2 would lift");
  expectSays(all, "lies 60 mm over that of track 2");
}

// Three pits under one line for both panels, the first before panel 1's wheels, the last beyond all
// that rolls: each by itself, with the panels that roll over it. And where a bar over points no
// steeper than the reader takes is steeper than wheels may roll.
TEST(TrackLines, EveryDipIsNamedWithThePanelsThatRollOverIt) {
  Json file = gates::gateFile({{"/gate/panels", 2}});
  Points pits;
  for (double x = -500; x <= 14500; x += 500) {
    const bool is_pit = x == 1000 || x == 4500 || x == 13500;
    for (const double aside :
         is_pit ? std::vector<double>{-40, -20, 0, 20, 40} : std::vector<double>{0}) {
      pits.push_back({x + aside, is_pit && aside == 0 ? -4.0 : 0.0});
    }
  }
  file["site"]["track_survey_mm"] = pits;
  const std::string told = problemsIn(file);
  expectSays(told, "at 1000 mm, where those of panel 2 would lift");
  expectSays(told, "at 4500 mm, where those of panels 1 and 2 would lift");
  expectSays(told, "at 13500 mm, where one would lift");
  expectSays(told, "no panel rolls there");
  file["site"]["track_survey_mm"] = {{-500, 0},   {3800, 0}, {3900, 0}, {4000, 20},
                                     {4200, -20}, {4300, 0}, {4400, 0}, {12000, 0}};
  expectSays(problemsIn(file), " % steep at 4");
  expectSays(problemsIn(file), " mm, under panels 1 and 2: give more points");
}

// A crest of 90 under either panel of a gate 50 over the ground: both ground, and both are named.
TEST(TrackLines, EveryPanelThatGroundsIsNamed) {
  Json file = gates::gateFile({{"/gate/panels", 2}});
  const Points crest = {{-500, 0}, {4000, 0}, {5000, 90}, {6000, 0}, {12000, 0}};
  file["site"]["track_survey_mm"] = {crest, crest};
  const GateSpec spec = gates::specOf(file);
  std::string told;
  for (const Warning& warning : warningsOf(spec, layOut(spec).layout)) {
    told += warning.id == "grounds" ? warning.text + "\n" : "";
  }
  expectSays(told, "panel 1 grounds: its bottom rail would stand ");
  expectSays(told, "panel 2 grounds: its bottom rail would stand ");
}

// By hand: level up to 3 m and 1 % beyond. Open, panel 2 has gone 6 m and stands on the grade
// altogether: its top, 1650 over the rail's underside, leans 1 % of that. Closed it is plumb. A
// rope's way is the same wherever both panels stand on straight ground, so nobody can move panel 1.
TEST(TrackLines, LeanIsWhatTheGradeMakesOfTheHeight) {
  Json file = gates::gateFile({{"/gate/panels", 2}});
  file["site"]["track_survey_mm"] = Json::array();
  for (int i = -5; i <= 120; ++i) {
    const double x = 100.0 * i;
    file["site"]["track_survey_mm"].push_back({x, std::max(0.0, 0.01 * (x - 3000))});
  }
  const Layout layout = gates::laidOut(gates::specOf(file));
  ASSERT_EQ(layout.ground.uneven.size(), 2U);
  const PanelOnUneven& front = layout.ground.uneven[1];
  // Uphill in the opening direction: the top goes towards the latch.
  EXPECT_NEAR(front.lean_mm, -16.5, 0.3);
  EXPECT_EQ(layout.ground.uneven[0].latch_play_mm, 0);
  EXPECT_GE(front.latch_play_mm, 0);
  const Layout even = gates::laidOut(gates::specWith({{"/gate/panels", 2}}));
  EXPECT_TRUE(even.ground.uneven.empty());
}

/// Both strands of a rope as it is drawn, by plain geometry.
double strandsMm(const Model& model, const RopeRun& run, double drive_mm) {
  const auto line = ropeLineAt(model, run, drive_mm);
  const auto apart = [&](std::size_t i, std::size_t j) {
    return std::hypot(line[i][0] - line[j][0], line[i][2] - line[j][2]);
  };
  const std::size_t last = line.size() - 1;
  return apart(0, 1) + apart(last - 1, last);
}

/// By how much a carrier's opening and its closing rope are longer than when closed.
std::array<double, 2> longerMm(const Model& model, int carrier, double drive_mm) {
  std::array<double, 2> longer{};
  for (const RopeRun& run : model.ropes) {
    if (run.carrier == carrier) {
      longer[run.opening ? 0 : 1] = strandsMm(model, run, drive_mm) - strandsMm(model, run, 0);
    }
  }
  return longer;
}

// The drawn ropes on their true ways: every panel stands where its two ropes, which pull against
// each other, are off their length alike; what is left is told. On a slab of common flatness no
// rope changes its length by 0.05 mm. What a rope is longer somewhere than when closed, the front
// panel of two can be moved when closed.
TEST(TrackLines, RopesKeepTheirLengthsOnTheirTrueWays) {
  for (int panels = 2; panels <= 3; ++panels) {
    for (const double flatter : {1.0, 6.0}) {
      Json file = twistedGate(panels, panels == 2 ? "right" : "left");
      for (Json& line : file["site"]["track_survey_mm"]) {
        for (Json& point : line) {
          point[1] = point[1].get<double>() / flatter;
        }
      }
      const GateSpec spec = gates::specOf(file);
      const Model model = buildModel(spec, gates::laidOut(spec));
      const GroundLayout& ground = model.layout.ground;
      double most = 0;
      double longest = 0;
      double shortest = 0;
      for (int i = 0; i <= 1000; ++i) {
        const double drive = model.layout.drive_travel_mm * i / 1000;
        for (int carrier = 1; carrier < panels; ++carrier) {
          const auto [opening, closing] = longerMm(model, carrier, drive);
          ASSERT_NEAR(opening, closing, 2e-3) << drive;
          most = std::max({most, std::abs(opening), std::abs(closing)});
          longest = std::max({longest, opening, closing});
          shortest = std::min({shortest, opening, closing});
        }
      }
      EXPECT_NEAR(ground.most_rope_error_mm, most, 2e-3);
      if (panels == 2) {
        EXPECT_NEAR(ground.uneven[1].latch_play_mm, longest, 2e-3);
        // Between ropes at their longest and at their shortest; and the other two terms, of which
        // that of the wrap is small on such a slab.
        EXPECT_GE(ground.uneven[1].rope_play_mm, longest - shortest - 1e-3);
        EXPECT_LE(ground.uneven[1].rope_play_mm, longest - shortest + 0.15);
      }
      if (flatter > 1) {
        EXPECT_LT(most, 0.05);
      }
      // Without following they would be off by what panels are ahead: more than what is left.
      EXPECT_GT(std::max(ground.uneven.back().ahead_mm.high, -ground.uneven.back().ahead_mm.low),
                most);
    }
  }
}

std::string warningOf(const GateSpec& spec, const std::string& id) {
  for (const Warning& warning : warningsOf(spec, gates::laidOut(spec))) {
    if (warning.id == id) {
      return warning.text;
    }
  }
  return "";
}

// A natural spline beside a gutter that was read with no point after it. By hand a cubic over L
// that leaves one end with slope s and has no bend at the other rises to s L sqrt(3) / 9.
TEST(TrackLines, LinesThatSwingOutAreTold) {
  Json file = gates::gateFile({{"/gate/panels", 2}});
  const Points apart = {{-500, 0},      {2500, 0}, {2750, -11.25}, {3000, -15},
                        {3250, -11.25}, {3500, 0}, {12000, 0}};
  file["site"]["track_survey_mm"] = apart;
  const std::string told = warningOf(gates::specOf(file), "survey-swings-out");
  expectSays(told, "between those at x = 3500 and 12000");
  const std::size_t by = told.find(" by ");
  ASSERT_NE(by, std::string::npos);
  EXPECT_NEAR(std::stod(told.substr(by + 4)),
              ReferenceGround(apart).slope(3500) * 8500 * std::sqrt(3.0) / 9, 0.3);
  file["site"]["track_survey_mm"] = {{-500, 0},   {2000, 0},      {2500, 0}, {2750, -11.25},
                                     {3000, -15}, {3250, -11.25}, {3500, 0}, {4000, 0},
                                     {4500, 0},   {12000, 0}};
  EXPECT_EQ(warningOf(gates::specOf(file), "survey-swings-out"), "");
}

// Nothing would be left of track keepers over a hump of 43 mm beside a wheel: said with panel,
// place and mm, not a fault of the kernel.
TEST(TrackLines, AHumpThatLeavesNoKeeperIsRefused) {
  Json file = gates::gateFile({{"/gate/panels", 2}});
  file["site"]["track_survey_mm"] = {{-500, 0}, {0, 0},    {2950, 0}, {3000, -9},
                                     {3050, 0}, {6000, 0}, {12000, 0}};
  const LayoutResult refused = layOut(gates::specOf(file));
  ASSERT_FALSE(refused.problems.empty());
  expectSays(refused.problems.front().text, "the track under panel 2 rises ");
  expectSays(refused.problems.front().text, "mm of them under the rail");
}

}  // namespace
}  // namespace leafstack
