// What carries the gate and is no member of its frame: each row worked by hand from the frame's
// forces, and planted weak ones, of which each must keep the gate from being ready.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "generator/loads/loads.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::modelWith;

/// The only row with this in its name, of one panel where the name says so.
const StructureDetail& rowNamed(const StructureReport& report, const std::string& name) {
  const StructureDetail* found = nullptr;
  for (const StructureDetail& one : report.details) {
    if (one.name.find(name) != std::string::npos) {
      EXPECT_EQ(found, nullptr) << name << " twice: " << one.name;
      found = &one;
    }
  }
  if (found == nullptr) {
    throw std::runtime_error(name);
  }
  return *found;
}

double blockOf(const StructureReport& report, int panel) {
  for (const StructureBlock& block : report.blocks) {
    if (block.panel == panel) {
      return 1.5 * block.force_N;  // wind's factor, EN 1990
    }
  }
  throw std::runtime_error("no block");
}

double sideOf(const StructureReport& report) {
  double most = 0;
  for (const StructureWheel& wheel : report.wheels) {
    most = std::max(most, wheel.most_lateral_N);
  }
  return 1.5 * most;
}

bool isTold(const Model& model, const LoadReport& loads, const std::string& id) {
  for (const Warning& one : warningsOf(model, loads)) {
    if (one.id == id && one.against == Against::kStrength) {
      return true;
    }
  }
  return false;
}

// Angle 32x32x4, S235. The jaws hold its leg from 4 + 2 to 32, 19 up in the middle: 15 over the
// lying leg. Between lips of 16 of a channel 80 wide the block is 80 - 2 x 17 = 46 long: 46 + 2 x
// 15 = 76 of leg carry F x 15, 76 x 16 / 4 x 235 = 71 440 N mm (twice the lever on an edge-loaded
// cantilever plate: Jaramillo 1950, 1 / 0.509; in Roark).
TEST(Details, GuideRailByHand) {
  const StructureReport report = findLoads(modelWith({{"/gate/panels", 2}})).structure;
  const double f = blockOf(report, 1);
  EXPECT_NEAR(rowNamed(report, "panel 1's guide rail, its upright leg").use, f * 15 / 71440, 1e-9);
  // Half of F x 17 (to the lying leg's middle) bends 40 mm of weld's leg: 40 x 16 / 4 x 235.
  EXPECT_NEAR(rowNamed(report, "panel 1's guide rail, its leg at a weld").use, f * 17 / 2 / 37600,
              1e-9);
  // The weld: legs of 3 mm, 3 / sqrt 2 x 360 / (sqrt 3 x 0.8 x 1.25) = 440.9 N/mm (EN 1993-1-8).
  EXPECT_NEAR(rowNamed(report, "panel 1's guide rail's welds").use,
              (f * 17 / 2 / (4 * 40) + f / 80) / 440.9, 1e-4);
  // Between pieces of weld at most 160 mm are clear; thin angle of legs 30: W = 4 x 900 / 4.5 = 800
  // mm3, twisted plastically at 16 x 30 x 235 / sqrt 3 = 65 125 N mm, each side by F x 17 / 2.
  const StructureDetail& between = rowNamed(report, "panel 1's guide rail between its welds");
  const double clear = std::stod(between.formula.substr(between.formula.rfind("mm, ") + 4));
  EXPECT_GT(clear, 100);
  EXPECT_LE(clear, 160.5);
  EXPECT_NEAR(between.use, std::hypot(13.0 / 64 * f * clear / (800 * 235), f * 17 / 2 / 65125),
              0.003);
}

// Aluminium is welded all along: 46 + 2 (17 + 28) = 136 mm of leg beside the weld, of softened
// metal, 65 / 1.1: 136 x 16 / 4 x 59.09 = 32 145 N mm.
TEST(Details, GuideRailOfAluminiumByHand) {
  const StructureReport report =
      findLoads(modelWith({{"/gate/panels", 2}, {"/gate/material", "aluminium"}})).structure;
  const double f = blockOf(report, 2);
  EXPECT_NEAR(rowNamed(report, "panel 2's guide rail, its leg at a weld").use, f * 17 / 2 / 32145,
              1e-4);
  for (const StructureDetail& one : report.details) {
    EXPECT_EQ(one.name.find("between its welds"), std::string::npos);
  }
}

// Lips of 16 with walls of 4: the block bears from 1 beside the wall to the lip's end, 6.5 off the
// wall; 60 + 13 of lip at 4 mm: 73 x 4 x 235 = 68 620 N mm for half of F.
TEST(Details, GuideChannelByHand) {
  const StructureReport report = findLoads(modelWith({{"/gate/panels", 2}})).structure;
  const double f = blockOf(report, 1);
  EXPECT_NEAR(rowNamed(report, "the first guide channel, its lips").use, f / 2 * 6.5 / 68620, 1e-9);
}

// Boards of 20 x 120 upright between two rails: p b s^2 / 8 on 120 x 20^2 / 6 = 8000 mm3 of C24,
// 24 x 0.7 / 1.3 = 12.923 N/mm2 (EN 338, EN 1995-1-1). A 5.5 screw, its head 11 mm: through the
// board 70e-6 x 350^2 x 121 x 0.7 / 1.3 = 558.7 N; out of a wall of 3 mm of S235
// 0.45 x 5.5 x 3 x 360 / 1.25 = 2138 N (EN 1993-1-3, Table 8.2).
TEST(Details, BoardsByHand) {
  const LoadReport loads = findLoads(modelWith(
      {{"/gate/panels", 2}, {"/gate/infill/kind", "open"}, {"/gate/cladding/kind", "boards"}}));
  const StructureDetail* bent = nullptr;
  const StructureDetail* pulled = nullptr;
  for (const StructureDetail& one : loads.structure.details) {
    if (std::string(one.id) == "cladding-overload") {
      (one.name.find("screws") == std::string::npos ? bent : pulled) = &one;
    }
  }
  ASSERT_NE(bent, nullptr);
  ASSERT_NE(pulled, nullptr);
  EXPECT_NEAR(bent->bears, 8000 * 24 * 0.7 / 1.3, 1e-6);
  const auto figure = [](const StructureDetail& row, const std::string& before) {
    return std::stod(row.formula.substr(row.formula.find(before) + before.size()));
  };
  const double p = figure(*bent, ", p ") * 1e-6, s = figure(*bent, ", s ");
  EXPECT_NEAR(bent->acts / (p * 120 * s * s / 8), 1, 0.003);
  EXPECT_GT(p, 1.5 * loads.wind.velocity_pressure_Pa * 1e-6) << "a wall's coefficient is over 1";
  EXPECT_NEAR(pulled->bears, 70e-6 * 350 * 350 * 121 * 0.7 / 1.3, 0.1);
}

// A sheet of 2 mm held all round, Johansen: of a square p a^2 / 24 turns its lines, S235's
// 4 / 4 x 235 = 235 N mm on each mm bear.
TEST(Details, SheetByHand) {
  const StructureReport report =
      findLoads(modelWith({{"/gate/panels", 2}, {"/gate/infill/kind", "sheet"}})).structure;
  const StructureDetail& row = rowNamed(report, "infill sheet");
  EXPECT_NEAR(row.bears, 235, 1e-9);
  const auto figure = [&](const std::string& before) {
    return std::stod(row.formula.substr(row.formula.find(before) + before.size()));
  };
  const double a = figure(", a "), b = figure(", b "), p = figure(", p ") * 1e-6;
  const double k = a / b;
  EXPECT_NEAR(row.acts / (p * a * a / 24 * std::pow(std::sqrt(3 + k * k) - k, 2)), 1, 0.004);
}

// A dowel of 12 under a bar of 20: the force 10 over the footing, C20: f_cd 13.33, f_yd 235,
// k = 3 x 10 / 12 x sqrt(13.33 / 235) = 0.5955; 1.3 x (sqrt(1 + 0.7741^2) - 0.7741) x 144 x
// sqrt(13.33 x 235) = 5140 N (Rasmussen 1963, in fib's Model Code).
TEST(Details, TrackByHand) {
  const StructureReport report = findLoads(modelWith({{"/gate/panels", 2}})).structure;
  const double h = sideOf(report);
  EXPECT_NEAR(rowNamed(report, "dowel in its footing").bears, 5140, 1);
  EXPECT_NEAR(rowNamed(report, "dowel in its footing").acts, h, 1e-9);
  // All round a dowel, leg 5: 5 / sqrt 2 x 207.85 = 734.9 N/mm; H x 10 over pi 144 / 4 and H over
  // 12 pi.
  EXPECT_NEAR(rowNamed(report, "weld on its dowel").use,
              h * std::hypot(10 / 113.097, 1 / 37.699) / 881.8, 1e-4);
  // A round bar of 20 bears 20^3 / 6 x 235 sideways.
  EXPECT_NEAR(rowNamed(report, "track between its dowels").bears, 8000 / 6.0 * 235, 1e-6);
}

TEST(Details, WhatIsNotInTheGateFileIsTold) {
  const Model model =
      modelWith({{"/gate/panels", 2}, {"/site/dowel_mm", 0}, {"/guides/mount", "overhead"}});
  const LoadReport loads = findLoads(model);
  int seen = 0;
  for (const Warning& one : warningsOf(model, loads)) {
    seen += one.id == "track-held" || (one.id == "fence-post" && !one.proviso.empty()) ? 1 : 0;
  }
  EXPECT_EQ(seen, 2);
  // The fence post's foot takes about what the block brings at its height (wind's closed form).
  double moment = 0;
  for (const StructureProviso& one : loads.structure.provisos) {
    if (std::string(one.id) == "fence-post") {
      moment = std::stod(one.proviso.substr(one.proviso.find("bears ") + 6));
    }
  }
  double most = 0;
  for (const StructureBlock& block : loads.structure.blocks) {
    most = block.panel == 1 ? 1.5 * block.force_N : most;
  }
  const double arm = model.layout.guides.front().z_mm / 1000;
  EXPECT_GT(moment, 0.9 * most * arm);
  EXPECT_LT(moment, 1.5 * most * arm);
}

// Each of these yields by its hand formula alone; nothing else is changed.
TEST(Details, PlantedWeakOnesAreTold) {
  const std::pair<const char*, std::vector<std::pair<const char*, gates::Json>>> planted[] = {
      {"guide-rail-overload", {{"/hardware/guide/rail_thickness_mm", 2}}},
      {"guide-rail-overload", {{"/hardware/guide/rail_thickness_mm", 2}, {"/site/opens", "left"}}},
      {"guide-channel-overload",
       {{"/checks/wind_speed_m_s", 60}, {"/hardware/guide/channel_wall_mm", 2}}},
      {"cladding-overload",
       {{"/gate/cladding/kind", "battens"}, {"/gate/cladding/thickness_mm", 8}}},
      {"cladding-overload", {{"/gate/infill/kind", "sheet"}, {"/gate/infill/thickness_mm", 1}}},
      {"track-overload", {{"/site/dowel_mm", 6}}},
  };
  for (const auto& [id, changes] : planted) {
    gates::Json file = gates::gateFile({{"/gate/panels", 2}});
    for (const auto& [pointer, value] : changes) {
      file[gates::Json::json_pointer(pointer)] = value;
    }
    const GateSpec spec = gates::specOf(file);
    const Model model = buildModel(spec, gates::laidOut(spec));
    const LoadReport loads = findLoads(model);
    EXPECT_TRUE(isTold(model, loads, id)) << id;
    EXPECT_FALSE(loads.structure.holds()) << id;
  }
}

}  // namespace
}  // namespace leafstack
