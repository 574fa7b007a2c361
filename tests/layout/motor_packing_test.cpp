// The packers under the motor: wedges where the ground slopes, which must not run out.
#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>
#include <random>
#include <regex>

#include "generator/clash/report/clash.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/ground.h"
#include "generator/model/model.h"
#include "generator/verdict/warnings.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

using gates::gateFile;
using gates::Json;
using gates::specOf;

/// The packing that a refusal names as the nearest that works.
double nearestNamed(const std::string& text) {
  std::smatch found;
  EXPECT_TRUE(std::regex_search(text, found, std::regex("nearest ([0-9.]+) mm"))) << text;
  return found.empty() ? -1 : std::stod(found[1]);
}

/// All under both feet, as solids.
struct Packers {
  double volume_mm3 = 0, length_mm = 0;
  int plates = 0;
};
Packers packersOf(const Model& model) {
  Packers all;
  for (const Instance& instance : model.instances) {
    const Part& part = model.parts[instance.part];
    if (part.kind == PartKind::kMotorPacker) {
      all.volume_mm3 += part.volume_mm3;
      if (!part.cutouts.empty() && part.cutouts.front().starts_with("2 drilled dia 11 ")) {
        all.volume_mm3 += 2 * std::numbers::pi * 5.5 * 5.5 * part.bounds.high[2];  // as if whole
      }
      all.length_mm = part.length_mm;
      ++all.plates;
    }
  }
  return all;
}

struct Sloping {
  const char* name;
  Json site;
  double packing_mm;
};

class ThinWedge : public ::testing::TestWithParam<Sloping> {};

/// Plain geometry as the judge: over the motor's length the footing rises by grade x length, so a
/// packing of less than half of that leaves a wedge that ends before the motor does.
TEST_P(ThinWedge, IsRefusedWithTheLeastThatWorks) {
  Json file = gateFile();
  file["site"] = GetParam().site;
  file["drive"]["packing_mm"] = GetParam().packing_mm;
  const LayoutResult refused = layOut(specOf(file));
  ASSERT_EQ(refused.problems.size(), 1u) << file.dump();
  EXPECT_EQ(refused.problems.front().pointer, "/drive/packing_mm");
  const double nearest = nearestNamed(refused.problems.front().text);
  file["drive"]["packing_mm"] = nearest - 0.11;
  EXPECT_FALSE(layOut(specOf(file)).problems.empty()) << "less would do as well";
  file["drive"]["packing_mm"] = nearest;
  const GateSpec spec = specOf(file);
  const LayoutResult taken = layOut(spec);
  ASSERT_TRUE(taken.problems.empty()) << taken.problems.front().text;
  const Model model = buildModel(spec, taken.layout);
  const Packers packers = packersOf(model);
  // Two plates of 10 on edge under each of two feet: the mean of a trapezium's two heights, times
  // thickness and length.
  EXPECT_EQ(packers.plates, 4);
  const MotorPacking packing = motorPacking(spec, taken.layout);
  EXPECT_GE(packing.least(), kThinnestWedgeEndMm - 1e-6);
  EXPECT_NEAR(packers.volume_mm3,
              (packing.near_mm + packing.far_mm) / 2 * 4 * 10 * packers.length_mm, 1e-3);
  EXPECT_NO_THROW(checkClashes(model));
}

const Json kTwoPoints = {{"opening_mm", 5600}, {"track_survey_mm", {{0, 0}, {6000, 90}}}};

INSTANTIATE_TEST_SUITE_P(
    Slopes, ThinWedge,
    ::testing::Values(
        Sloping{"SlightGrade", {{"opening_mm", 5600}, {"grade", 0.005}}, 0},
        Sloping{"Grade", {{"opening_mm", 5600}, {"grade", 0.02}}, 2},
        Sloping{"Falling", {{"opening_mm", 5600}, {"grade", -0.02}}, 0},
        Sloping{"Steep", {{"opening_mm", 5600}, {"grade", 0.05}}, 5},
        Sloping{"SteepFalling", {{"opening_mm", 5600}, {"grade", -0.05}}, 0},
        Sloping{"LeftHand", {{"opening_mm", 5600}, {"grade", 0.05}, {"opens", "left"}}, 3},
        Sloping{"Survey", kTwoPoints, 0}),
    [](const auto& gate) { return std::string(gate.param.name); });

TEST(MotorPacking, OnLevelGroundMayBeNoneOrThin) {
  for (const double packing : {0.0, 0.5, 30.0}) {
    const GateSpec spec = specOf(gateFile({{"/drive/packing_mm", packing}}));
    const LayoutResult result = layOut(spec);
    ASSERT_TRUE(result.problems.empty()) << result.problems.front().text;
    const Model model = buildModel(spec, result.layout);
    const Packers packers = packersOf(model);
    // Plates as sold: 20 + 10 make 30, half a millimetre is a shim; under two feet.
    EXPECT_EQ(packers.plates, packing == 30 ? 4 : packing > 0 ? 2 : 0);
    EXPECT_NEAR(packers.volume_mm3, packing * 2 * 40 * packers.length_mm, 1e-3);
    EXPECT_NO_THROW(checkClashes(model));
  }
}

// Usual is a rack whose lower edge stands 40 to 53 mm over the rail's underside (common practice,
// no source). By hand, axle 19 up in the rail: underside 20 + 90 / 2 - 19 = 46 over the footing; a
// pinion 37 over its feet, pitch radius 32, module 4, holds the rack 37 + 32 - 4 - 46 = 19 over it
// without packers: 21 to 34 are usual. How high the packer is, its solid says.
TEST(MotorPacking, OutsideTheUsualIsSaidWithTheFigures) {
  const auto warned = [](const Json& file) {
    const GateSpec spec = specOf(file);
    const Layout layout = layOut(spec).layout;
    std::string texts;
    for (const Warning& one : warningsOf(spec, layout)) {
      texts += one.id == "motor-packing" ? one.text : "";
    }
    return std::pair{texts, buildModel(spec, layout)};
  };
  EXPECT_EQ(warned(gateFile()).first, "");
  const auto [text, model] = warned(gateFile({{"/gate/bottom_rail", "RHS 100x50x6"},
                                              {"/gate/panels", 2},
                                              {"/hardware/wheel/axle_up_mm", 19}}));
  const Packers packers = packersOf(model);
  ASSERT_GT(packers.plates, 0);
  const double high = packers.volume_mm3 / (2 * 40 * packers.length_mm);
  EXPECT_GT(high, 34);
  EXPECT_EQ(text, "motor packing " + shown(high) +
                      " mm is outside the usual 21 to 34 mm under a pinion 37 mm over its feet");
}

/// Surveys at random, a point every 2 m. Over a crest at the motor the rack comes lower than it
/// stands closed, and the pinion with it: the motor is raised on wedges of the program's choosing
/// rather than let into the footing, as far as the rail has room for the rack.
TEST(MotorPacking, ChosenOnSurveyedGroundDoesNotRunOut) {
  std::mt19937 engine(20261128);
  int lowered = 0;
  for (int i = 0; i < 60; ++i) {
    Json survey = Json::array();
    for (int x = -2000; x <= 12000; x += 2000) {
      survey.push_back({x, static_cast<int>(engine() % 61) - 30});
    }
    const Json file = gateFile({{"/site/track_survey_mm", survey}});
    const GateSpec spec = specOf(file);
    const LayoutResult result = layOut(spec);
    const Layout& layout = result.layout;
    if (!layout.ground.problems.empty()) {
      continue;
    }
    const MotorPacking packing = motorPacking(spec, layout);
    const double highest = spec.gate.bottom_rail.height_mm - 2 * spec.gate.bottom_rail.wall_mm -
                           spec.hardware.rack.standoff_mm;
    double rack = layout.heights.rack_lower_up_mm;
    for (const double up : layout.ground.rack_up_mm) {
      rack = std::max(rack, layout.heights.rack_lower_up_mm + up);
    }
    const bool at_the_top = rack > highest - 1e-6;
    lowered += layout.ground.rack_rise_mm.low < -10 ? 1 : 0;
    EXPECT_TRUE(at_the_top || packing.isFlat() || packing.least() > kThinnestWedgeEndMm - 1e-6)
        << file.dump();
    if (result.problems.empty() && i < 4) {
      EXPECT_NO_THROW(buildModel(spec, layout)) << file.dump();
    }
  }
  EXPECT_GT(lowered, 10);
}

}  // namespace
}  // namespace leafstack
