// Ordinary driveways, none of them flat: sags and crests, a gutter, a change of grade, an S, noise
// of laying. Own scenarios; what real ground does to panels that each find their own lean.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <numbers>

#include "generator/clash/report/clash.h"
#include "generator/layout/ground/ground.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

using gates::Json;
using Line = std::vector<std::pair<double, double>>;

constexpr double kFromMm = -500, kToMm = 12000, kOpeningMm = 6000;

/// Over the opening a parabola, level before and beyond, on a grade.
Line parabola(double high_mm, double grade = 0) {
  constexpr int kSteps = 12;
  Line line{{kFromMm, grade * kFromMm}};
  for (int i = 0; i <= kSteps; ++i) {
    const double share = static_cast<double>(i) / kSteps;
    const double x = kOpeningMm * share;
    line.emplace_back(x, 4 * high_mm * share * (1 - share) + grade * x);
  }
  line.emplace_back(kToMm, grade * kToMm);
  return line;
}

Line wave(double high_mm) {
  Line line{{kFromMm, 0}};
  for (int i = 0; i <= 12; ++i) {
    line.emplace_back(500 * i, high_mm * std::sin(2 * std::numbers::pi * i / 12));
  }
  line.emplace_back(kToMm, 0);
  return line;
}

Line noise(double most_mm, unsigned seed) {
  Dice dice(seed);
  Line line;
  for (int i = 0; i <= 25; ++i) {
    line.emplace_back(kFromMm + 500 * i, dice.in(-most_mm, most_mm));
  }
  return line;
}

Line gutter() {
  Line line;
  for (double x = kFromMm; x <= kToMm; x += x >= 2500 && x < 3500 ? 250 : 500) {
    const double aside = std::abs(x - 3000);
    line.emplace_back(x, aside < 100 ? -15 : aside < 300 ? -11.25 : 0);
  }
  return line;
}

std::map<std::string, Line> driveways() {
  std::map<std::string, Line> all;
  for (const double mm : {-5., -15., -30., -50., 5., 15., 30.}) {
    all[(mm < 0 ? "sag of " : "crest of ") + std::to_string(std::lround(std::abs(mm)))] =
        parabola(mm);
  }
  // Read every half metre, and closer in it: between distant points beside a bend the line would
  // swing out by 47 mm (TrackLines.LinesThatSwingOutAreTold).
  all["gutter"] = gutter();
  all["change of grade"] = {{kFromMm, 0}, {3000, 0}, {kToMm, 180}};
  all["S"] = wave(15);
  all["noise of 1"] = noise(1, 11);
  all["noise of 1, otherwise"] = noise(1, 12);
  all["noise of 3"] = noise(3, 13);
  all["1 % and a sag"] = parabola(-10, 0.01);
  all["rolling"] = {{-500, 10}, {0, 0},     {1500, -35}, {3000, -20},
                    {4500, 30}, {6000, 45}, {8000, 60},  {10000, 60}};
  return all;
}

struct Tried {
  std::map<std::string, std::string> not_clear;  ///< driveway and what was found
  int unresolved = 0;
};

Tried tried(const std::map<std::string, Line>& lines, const Json& changes) {
  Tried out;
  for (const auto& [name, line] : lines) {
    Json file = gates::gateFile();
    file["site"]["track_survey_mm"] = line;
    file.merge_patch(changes);
    const GateSpec spec = gates::specOf(file);
    const ClashReport report = checkClashes(buildModel(spec, gates::laidOut(spec)));
    out.unresolved += report.verdict == Verdict::kUnresolved;
    if (report.verdict != Verdict::kClear && report.verdict != Verdict::kTight) {
      for (const Finding& finding : report.findings) {
        out.not_clear[name] += finding.text + "\n";
      }
    }
  }
  return out;
}

std::string told(const Tried& tried) {
  std::string out;
  for (const auto& [name, text] : tried.not_clear) {
    out += name + ": " + text;
  }
  return out;
}

// With the shelf as it is: blocks whose jaws turn where blocks of one piece would jam. In a short
// run two panels, every other driveway.
TEST(Driveways, MostAreClearAndNoneIsOpen) {
  const bool all = gates::rounds(2, 1) == 1;
  std::map<std::string, Line> some;
  int turn = 0;
  for (const auto& [name, line] : driveways()) {
    if (all || turn++ % 2 == 0) {
      some[name] = line;
    }
  }
  for (const int panels : {2, 3}) {
    for (const char* hand : {"right", "left"}) {
      if (!all && (panels == 3 || hand[0] == 'l')) {
        continue;
      }
      const Tried of_all =
          tried(some, {{"gate", {{"panels", panels}}}, {"site", {{"opens", hand}}}});
      EXPECT_LE(of_all.not_clear.size(), 2U) << told(of_all);
      EXPECT_EQ(of_all.unresolved, 0) << told(of_all);
    }
  }
}

TEST(Driveways, PivotedBlocksTakeMostOfTheRest) {
  std::map<std::string, Line> some;
  for (const char* name : {"rolling", "gutter", "noise of 3", "crest of 30", "S"}) {
    if (static_cast<int>(some.size()) < gates::rounds(3, 5)) {
      some[name] = driveways().at(name);
    }
  }
  const Tried three = tried(some, {{"gate", {{"panels", 3}}},
                                   {"site", {{"opens", "left"}}},
                                   {"hardware", {{"guide", {{"block_mount", "pivoted"}}}}}});
  EXPECT_TRUE(three.not_clear.empty()) << told(three);
}

// A straight rack would leave its pinion by 11 mm on the sag and by 16 in the gutter.
TEST(Driveways, TheRackFollowsItsPinion) {
  std::map<std::string, Line> some;
  for (const char* name : {"sag of 50", "gutter"}) {
    some[name] = driveways().at(name);
  }
  const Tried two = tried(
      some, {{"gate", {{"panels", 2}}}, {"hardware", {{"guide", {{"block_mount", "pivoted"}}}}}});
  EXPECT_TRUE(two.not_clear.empty()) << told(two);
}

// Guides, overlaps and returns are longer by what panels lean otherwise than their neighbours; on
// a straight line nothing is added.
TEST(Driveways, GuidesAreAsLongAsTheLeanAsks) {
  Json file = gates::gateFile({{"/gate/panels", 3}});
  file["site"]["track_survey_mm"] = Line{{kFromMm, 0}, {kToMm, 0}};
  const GateSpec level = gates::specOf(file);
  const Layout straight = gates::laidOut(level);
  EXPECT_EQ(straight.lean_mm, 0);
  EXPECT_EQ(guidesShortByMm(level, straight), 0);
  file["site"]["track_survey_mm"] = parabola(30);
  const GateSpec crest = gates::specOf(file);
  const Layout leaning = gates::laidOut(crest);
  EXPECT_GT(leaning.lean_mm, 0);
  EXPECT_LE(guidesShortByMm(crest, leaning), 1e-6);
  // By hand: chords of neighbours whose middles stand 2 m apart on z = -3.33e-6 x^2 differ by
  // 2 x 3.33e-6 x 2000 = 0.0133, which is 21 mm at a guide 1.6 m up.
  EXPECT_LE(leaning.lean_mm, 22);
}

}  // namespace
}  // namespace leafstack
