// Tracks laid straight: against every line through two corners of the program, by hand, and on
// gates; rope ends and grooves on uneven ground: what is said would do is tried. Own scenarios.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "generator/clash/report/clash.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/laying/straight_line.h"
#include "generator/layout/layout.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"

namespace leafstack {
namespace {

using gates::Json;
using Slab = std::vector<std::array<double, 2>>;

/// Cost of one line, infinite where a limit is exceeded.
double costOf(const Slab& slab, const LayingLimits& limits, double z0, double slope) {
  double cost = 0;
  for (const auto& [x, z] : slab) {
    const double shim = z0 + slope * x - z;
    if (shim > limits.shims_mm + 1e-9 || -shim > limits.grinding_mm + 1e-9) {
      return INFINITY;
    }
    cost += shim > 0 ? shim : -kGrindingCost * shim;
  }
  return cost;
}

// A linear program's least stands at a corner: where the line goes through two of the slab's
// points, or stands at the limits over two of them. All of those are tried.
double leastByTrying(const Slab& slab, const LayingLimits& limits) {
  Slab corners;
  for (const auto& [x, z] : slab) {
    corners.push_back({x, z});
    corners.push_back({x, z + limits.shims_mm});
    corners.push_back({x, z - limits.grinding_mm});
  }
  double least = INFINITY;
  for (const auto& a : corners) {
    for (const auto& b : corners) {
      if (b[0] > a[0]) {
        const double slope = (b[1] - a[1]) / (b[0] - a[0]);
        least = std::min(least, costOf(slab, limits, a[1] - slope * a[0], slope));
      }
    }
  }
  return least;
}

TEST(Laying, CheapestLineIsTheBestOfAllCorners) {
  Dice dice(22);
  int within = 0;
  for (int round = 0; round < 200; ++round) {
    Slab slab;
    for (int i = 0; i < 14; ++i) {
      slab.push_back({500.0 * i, dice.in(-8, 8) + 0.01 * 500 * i});
    }
    const LayingLimits limits{dice.in(4, 16), dice.in(0, 6)};
    const StraightLine line = cheapestStraight(slab, limits);
    const double least = leastByTrying(slab, limits);
    if (std::isinf(least)) {
      EXPECT_GT(line.short_mm, 0);
      continue;
    }
    ++within;
    EXPECT_EQ(line.short_mm, 0);
    EXPECT_NEAR(line.cost, least, 1e-5);
    EXPECT_NEAR(costOf(slab, {limits.shims_mm + 1e-5, limits.grinding_mm + 1e-5}, line.at_zero_mm,
                       line.slope),
                least, 1e-3);
  }
  EXPECT_GT(within, 50);
}

// By hand: over a dip of 6 between two points the line stays and 6 of shims go under the middle.
// Over a hump of 6 either it stays and 6 are ground off, at 3 each, or it rises and both ends are
// shimmed by 6: 12 is less than 18. With 5 of shims at most it rises 5 and 1 is ground: 13.
TEST(Laying, DipsAndHumpsByHand) {
  const Slab dip = {{0, 0}, {500, -6}, {1000, 0}};
  EXPECT_NEAR(cheapestStraight(dip, {20, 5}).cost, 6, 1e-6);
  const Slab hump = {{0, 0}, {500, 6}, {1000, 0}};
  EXPECT_NEAR(cheapestStraight(hump, {20, 9}).cost, 12, 1e-6);
  EXPECT_NEAR(cheapestStraight(hump, {20, 9}).heightMm(500), 6, 1e-6);
  EXPECT_NEAR(cheapestStraight(hump, {5, 9}).cost, 13, 1e-6);
  // 2 of shims and 1 of grinding take 3 of the 6: the rest is shared as may be, over all of it.
  const StraightLine lacking = cheapestStraight(hump, {2, 1});
  EXPECT_GE(lacking.short_mm, 1.5);
  EXPECT_LE(lacking.short_mm, 3);
}

TEST(Laying, ABarThatBendsGentlyCostsNoMore) {
  Dice dice(23);
  for (int round = 0; round < 50; ++round) {
    Slab slab;
    for (int i = 0; i < 12; ++i) {
      slab.push_back({400.0 * i, dice.in(-4, 4)});
    }
    const LayingLimits limits{30, 10};
    const double straight = cheapestStraight(slab, limits).cost;
    EXPECT_NEAR(cheapestGentle(slab, limits, 0).cost, straight, 1e-5);
    const double bent = cheapestGentle(slab, limits, 2e-6).cost;
    EXPECT_LE(bent, straight + 1e-6);
    EXPECT_NEAR(cheapestGentle(slab, limits, 1).cost, 0, 1e-6);
  }
}

Json wavyGate(int panels) {
  Json file = gates::gateFile({{"/gate/panels", panels}});
  for (int i = -1; i <= 26; ++i) {
    file["site"]["track_survey_mm"].push_back({500.0 * i, 4 * std::sin(0.9 * i) + 0.5 * i});
  }
  return file;
}

// On a straight line nothing leans, and slab, shims and grinding make up for each other.
TEST(Laying, StraightTracksTakeTheLeanAway) {
  Json file = wavyGate(3);
  const Layout bent = gates::laidOut(gates::specOf(file));
  EXPECT_GT(std::abs(bent.ground.uneven[1].lean_mm), 3);
  for (const LaidTrack& track : bent.ground.laid) {
    EXPECT_GT(track.residual_mm, 1);
    for (const LaidPoint& point : track.points) {
      EXPECT_EQ(point.shimMm() + point.grindMm(), 0);
    }
  }
  file["site"]["track_laying"] = "straight";
  const GateSpec spec = gates::specOf(file);
  const Layout straight = gates::laidOut(spec);
  ASSERT_EQ(straight.ground.laid.size(), 3U);
  for (int k = 1; k <= 3; ++k) {
    EXPECT_NEAR(straight.ground.uneven[k - 1].lean_mm, 0, 1e-6);
    // Straight, but each to its own line: strands turn a little against rails.
    EXPECT_LT(straight.ground.uneven[k - 1].latch_play_mm, 0.1 * k);
    const LaidTrack& track = straight.ground.laid[k - 1];
    EXPECT_EQ(track.residual_mm, 0);
    double shims = 0;
    for (const LaidPoint& point : track.points) {
      EXPECT_NEAR(point.slab_mm + point.shimMm() - point.grindMm(), point.laid_mm, 1e-9);
      EXPECT_NEAR(straight.ground.lineOf(k).heightMm(point.x_mm), point.laid_mm, 1e-6);
      EXPECT_LE(point.shimMm(), spec.site.shims_most_mm + 1e-6);
      EXPECT_LE(point.grindMm(), spec.site.grinding_most_mm + 1e-6);
      shims += point.shimMm();
    }
    EXPECT_GT(shims, 5);
  }
  const ClashReport report = checkClashes(buildModel(spec, straight));
  EXPECT_TRUE(report.verdict == Verdict::kClear || report.verdict == Verdict::kTight)
      << report.findings.front().text;
}

TEST(Laying, LimitsThatAreTooTightAreNamedWithMm) {
  Json file = wavyGate(2);
  file["site"]["track_laying"] = "straight";
  file["site"]["shims_most_mm"] = 1;
  file["site"]["grinding_most_mm"] = 0;
  std::string told;
  for (const LayoutProblem& problem : layOut(gates::specOf(file)).problems) {
    told += problem.pointer + " " + problem.text + "\n";
  }
  for (const char* part :
       {"/site/track_laying track 1 cannot be laid straight on shims of up to 1 mm",
        "track 2 cannot be laid straight", "takes shims of up to "}) {
    EXPECT_NE(told.find(part), std::string::npos) << part << " is not in " << told;
  }
  // What is said would do does, and no less.
  const auto most = [&](const std::string& before) {
    double figure = 0;
    for (std::size_t at = told.find(before); at != std::string::npos;
         at = told.find(before, at + 1)) {
      figure = std::max(figure, std::stod(told.substr(at + before.size())));
    }
    return figure;
  };
  const double shims = most("takes shims of up to ");
  const double grinding = most("grinds off up to ");
  const auto isStraight = [&](double shims_mm, double grinding_mm) {
    file["site"]["shims_most_mm"] = shims_mm;
    file["site"]["grinding_most_mm"] = grinding_mm;
    return layOut(gates::specOf(file)).problems.empty();
  };
  EXPECT_TRUE(isStraight(shims, grinding)) << told;
  EXPECT_FALSE(isStraight(1, grinding));
}

double figureBefore(const std::string& text, const std::string& after) {
  const std::size_t at = text.find(after);
  const std::size_t from = text.rfind(' ', at - 1);
  return std::stod(text.substr(from + 1, at - from - 1));
}

// Short strands on a rolling drive lean: the warnings say what groove and what rope end would do.
TEST(RopesAslant, WhatIsSaidWouldDoDoes) {
  EXPECT_NEAR(throatForFleetDeg(mostFleetDeg(57)), 57, 1e-9);
  EXPECT_NEAR(mostFleetDeg(40), 1.5, 1e-12);  // row W6, a rope maker's guide
  Json file = gates::gateFile({{"/gate/panels", 3}});
  file["site"]["track_survey_mm"] = {{-500, 10}, {0, 0},     {1500, -35}, {3000, -20},
                                     {4500, 30}, {6000, 45}, {8000, 60},  {10000, 60}};
  // Stiffer ends and narrower grooves than the sets' own.
  file["hardware"]["terminal"]["swivel_deg"] = 0.5;
  file["hardware"]["pulley"]["throat_deg"] = 30;
  const auto toldOf = [](const Json& gate, const std::string& id) {
    const GateSpec spec = gates::specOf(gate);
    std::vector<std::string> texts;
    for (const Warning& warning : warningsOf(spec, layOut(spec).layout)) {
      if (warning.id == id) {
        texts.push_back(warning.text);
      }
    }
    return texts;
  };
  const auto fleets = toldOf(file, "fleet-angle");
  const auto swivels = toldOf(file, "terminal-swivel");
  ASSERT_FALSE(fleets.empty());
  ASSERT_FALSE(swivels.empty());
  double swivel = 0;
  for (const std::string& text : swivels) {
    const std::string mark = "ends that swivel ";
    ASSERT_NE(text.find(mark), std::string::npos) << text;
    swivel = std::max(swivel, std::stod(text.substr(text.find(mark) + mark.size())));
  }
  file["hardware"]["terminal"]["swivel_deg"] = swivel;
  EXPECT_TRUE(toldOf(file, "terminal-swivel").empty());
  file["hardware"]["terminal"]["swivel_deg"] = swivel - 1.5;
  EXPECT_FALSE(toldOf(file, "terminal-swivel").empty());
  for (const std::string& text : fleets) {
    EXPECT_GT(figureBefore(text, " degrees aside"), mostFleetDeg(30)) << text;
  }
}

// By hand, two panels on a level drive: nothing leans. Where the front one's bracket rides 10 mm
// off its rope's line with 500 mm of strand to go, that strand leans atan(10 / 500) = 1.15 degrees;
// the layout's figure is the most over the travel, so never less than what a position gives.
TEST(RopesAslant, AnglesAreThoseOfDrawnStrands) {
  EXPECT_EQ(
      gates::laidOut(gates::specOf(gates::gateFile({{"/gate/panels", 2}}))).ropes[0].swivel_deg, 0);
  const GateSpec spec = gates::specOf(wavyGate(2));
  const Layout layout = gates::laidOut(spec);
  const RopeLayout& rope = layout.ropes[0];
  const PanelLayout& carrier = layout.panel(1);
  double fleet = 0, swivel = 0;
  for (const double pulley_x : {rope.trailing_pulley_mm, rope.leading_pulley_mm}) {
    const double pulley_z = carrier.undersideZ(pulley_x) + rope.height_mm / carrier.cosine();
    for (int i = 0; i <= 2000; ++i) {
      const double drive = layout.drive_travel_mm * i / 2000;
      const auto end = carried(layout.ground.travels[2]->at(drive),
                               {rope.front_bracket_mm, 0, rope.front_bore_z_mm});
      const auto pulley = carried(layout.ground.travels[1]->at(drive), {pulley_x, 0, pulley_z});
      const double strand = std::atan((pulley[2] - end[2]) / (pulley[0] - end[0]));
      const auto railOf = [&](int panel) {
        const Pose pose = layout.ground.travels[panel]->at(drive);
        return std::atan(layout.panel(panel).grade) + std::atan2(pose.sin, pose.cos);
      };
      fleet = std::max(fleet, std::abs(strand - railOf(1)));
      swivel = std::max(swivel, std::abs(strand - railOf(2)));
    }
  }
  EXPECT_GT(fleet, 0);
  EXPECT_LE(fleet * kDegreesPerRadian, rope.fleetDeg() + 0.05);
  EXPECT_LE(swivel * kDegreesPerRadian, rope.swivel_deg + 0.05);
}

}  // namespace
}  // namespace leafstack
