// Rope ends beside pulleys where slabs twist: what brackets stand further off is enough, and what
// level ground asks would not be. Own scenarios.
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/layout.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;

/// A line for each of `panels` tracks; `height_mm`: of a track, 0 the back one, at X.
Json twistedGate(int panels, const std::function<double(int, double)>& height_mm) {
  Json file = gates::gateFile({{"/site/opening_mm", 6000}, {"/gate/panels", panels}});
  for (int track = 0; track < panels; ++track) {
    Json line;
    for (int i = 0; i < 18; ++i) {
      const double x = -500 + 750 * i;
      line.push_back({x, height_mm(track, x)});
    }
    file["site"]["track_survey_mm"].push_back(line);
  }
  return file;
}

std::string told(const ClashReport& report) {
  std::string text;
  for (const Finding& finding : report.findings) {
    text += finding.text + "\n";
  }
  return text;
}

// By hand, the first: tracks that part by 2 mm a metre turn panel 2 by 0.002 against panel 1; over
// 3000 mm of travel its bracket rises 6 mm along panel 1's rope, 3 either way from the middle, and
// takes the nuts of the rope's end so much nearer to the pulley that they pass.
TEST(RopeEnds, StandClearOfPulleysWhereSlabsTwist) {
  const std::function<double(int, double)> twists[] = {
      [](int track, double x) { return 0.002 * x * track; },
      [](int track, double x) {
        return 8 * std::sin(x / 1800) * (1 - 0.4 * track) + 0.001 * x * track;
      },
      [](int track, double x) {
        return -12 * std::exp(-std::pow((x - 2500 - 200 * track) / 900, 2)) + 0.0015 * x * track;
      }};
  for (const auto& twist : twists) {
    Json file = twistedGate(2, twist);
    const GateSpec spec = gates::specOf(file);
    const Layout layout = gates::laidOut(spec);
    const double level = bracketClearanceMm(spec);
    EXPECT_GT(layout.bracket_clearance_mm, level);
    // Never more than takes all of a rope's end past the pulley's rim.
    EXPECT_LE(layout.bracket_clearance_mm,
              level + terminalOf(spec).tailMm() + pulleyRimMm(spec, layout.pulley_pitch_mm));
    const ClashReport report = checkClashes(buildModel(spec, layout));
    EXPECT_EQ(report.verdict, Verdict::kClear) << told(report);
    // Given, it is obeyed, and the clash check tells what was to be avoided.
    file["ropes"]["bracket_clearance_mm"] = level;
    const GateSpec given = gates::specOf(file);
    const Layout as_level = gates::laidOut(given);
    EXPECT_EQ(as_level.bracket_clearance_mm, level);
    const ClashReport near = checkClashes(buildModel(given, as_level));
    EXPECT_NE(told(near).find("terminal nut"), std::string::npos) << told(near);
  }
}

TEST(RopeEnds, TakeNoMoreWhereNothingTurns) {
  const GateSpec spec = gates::specOf(twistedGate(3, [](int, double x) { return 0.01 * x; }));
  EXPECT_EQ(gates::laidOut(spec).bracket_clearance_mm, bracketClearanceMm(spec));
}

}  // namespace
}  // namespace leafstack
