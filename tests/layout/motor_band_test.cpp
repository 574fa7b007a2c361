// Motors whose own base sets the pinion up and down: what they stand on, and the room they are
// given.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "generator/shop/set_out.h"
#include "params/read_gate.h"
#include "tests/support/planted_faults.h"
#include "tests/support/random_gates.h"
#include "tests/support/report_text.h"

namespace leafstack::motor_band {
namespace {

constexpr double kExactMm = 1e-9;

GateSpec specOf(const std::string& motor, double grade = 0, const std::string& more = "") {
  const std::string text = R"({"site": {"opening_mm": 5600, "grade": )" + std::to_string(grade) +
                           R"(}, "gate": {"panels": 2}, "hardware": {"motor": )" + motor + "}" +
                           more + "}";
  const ReadResult read = readGate(text, "test");
  EXPECT_TRUE(read.gate) << text << (read.gate ? "" : toString(read.problems.front()));
  return read.gate.value().spec;
}

// The medium set wants 34 of packing. Flats: 30 is 4 less and 35 1 more.
TEST(MotorBand, TheBaseMakesUpWhatFlatsLeave) {
  const Layout without = gates::laidOut(specOf("{}"));
  ASSERT_NEAR(without.heights.motor_packing_mm, 34, kExactMm);
  for (const double band : {1.0, 10.0}) {
    const GateSpec spec = specOf(R"({"adjust_mm": )" + std::to_string(band) + "}");
    const Layout layout = gates::laidOut(spec);
    EXPECT_NEAR(layout.heights.motor_packing_mm, 35, kExactMm);
    EXPECT_NEAR(layout.heights.motor_raise_mm, -1, kExactMm);
    EXPECT_NEAR(layout.heights.rack_lower_up_mm, without.heights.rack_lower_up_mm, kExactMm);
    EXPECT_NEAR(pinionZ(layout), pinionZ(without), kExactMm);
    const MotorPacking packing = motorPacking(spec, layout);
    EXPECT_NEAR(packing.near_mm, 35, 1e-6);
  }
  // A base that does less than 1 reaches no flat: packers are made to fit.
  const Layout little = gates::laidOut(specOf(R"({"adjust_mm": 0.5})"));
  EXPECT_NEAR(little.heights.motor_packing_mm, 34, kExactMm);
  EXPECT_NEAR(little.heights.motor_raise_mm, 0, kExactMm);
}

TEST(MotorBand, OnASlopeAndGivenPackingItIsLeftForSetting) {
  for (const auto& [grade, more] :
       {std::pair{0.03, ""}, std::pair{0.0, R"(, "drive": {"packing_mm": 36})"}}) {
    const Layout with = gates::laidOut(specOf(R"({"adjust_mm": 12})", grade, more));
    const Layout without = gates::laidOut(specOf("{}", grade, more));
    EXPECT_EQ(with.heights.motor_raise_mm, 0);
    EXPECT_NEAR(with.heights.motor_packing_mm, without.heights.motor_packing_mm, kExactMm);
  }
}

// Whatever pinion and band: never beyond the band, never off the rack that a made packer would give
// or, where the footing is lower, lower than the rail holds.
TEST(MotorBand, NeverBeyondWhatTheBaseDoes) {
  const std::set<double> flats = {0, 5, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60};
  for (double up = 30; up <= 110; up += 2.5) {
    for (const double band : {3.0, 8.0, 20.0}) {
      const std::string pinion = R"({"pinion_up_mm": )" + std::to_string(up);
      const GateSpec spec = specOf(pinion + R"(, "adjust_mm": )" + std::to_string(band) + "}");
      const GateSpec fixed = specOf(pinion + "}");
      const Layout layout = gates::laidOut(spec);
      const Layout before = gates::laidOut(fixed);
      EXPECT_LE(std::abs(layout.heights.motor_raise_mm), band + kExactMm) << up;
      EXPECT_TRUE(flats.contains(layout.heights.motor_packing_mm)) << up;
      EXPECT_LE(layout.heights.rack_lower_up_mm, highestRackMm(spec) + kExactMm) << up;
      EXPECT_LE(footingDropMm(spec, layout), footingDropMm(fixed, before)) << up;
      if (before.heights.motor_packing_mm > 0) {
        EXPECT_NEAR(layout.heights.rack_lower_up_mm, before.heights.rack_lower_up_mm, kExactMm);
      }
    }
  }
}

// A box over the motor's body, where only a base that lifts it by 12 brings it.
TEST(MotorBand, TheClashCheckTakesAllOfIt) {
  const GateSpec spec = specOf(R"({"adjust_mm": 12})");
  const Model model = buildModel(spec, gates::laidOut(spec));
  const auto motor = std::find_if(
      model.instances.begin(), model.instances.end(),
      [&](const Instance& one) { return model.parts[one.part].kind == PartKind::kMotor; });
  ASSERT_NE(motor, model.instances.end());
  const ClashReport alone = checkClashes(model);
  EXPECT_EQ(alone.verdict, Verdict::kClear) << allText(alone);
  constexpr double kBoxMm = 5;
  const auto plantedOver = [&](double over_mm) {
    const gp_Vec middle(
        (motor->bounds.low[0] + motor->bounds.high[0]) / 2,
        (motor->bounds.low[1] + motor->bounds.high[1]) / 2,
        motor->bounds.low[2] + spec.hardware.motor.height_mm + over_mm + kBoxMm / 2);
    return checkClashes(faults::withBox(model, {10, 10, kBoxMm}, middle));
  };
  EXPECT_EQ(plantedOver(6).verdict, Verdict::kClash);
  const ClashReport beyond = plantedOver(12 + 4);
  EXPECT_NE(beyond.verdict, Verdict::kClash) << allText(beyond);
}

// 1 below the middle of a base that does 10: 11 up and 9 down. Module 4: tips meet roots 0.25 x 4
// higher (ISO 53), teeth that are 2 x 4 deep in each other are apart 8 lower.
TEST(MotorBand, TheSetOutSaysWhatIsLeft) {
  const GateSpec spec = specOf(R"({"adjust_mm": 10})");
  const Model model = buildModel(spec, gates::laidOut(spec));
  const std::vector<SetOutRow> rows = setOutRows(model, {});
  const auto pinion = std::find_if(rows.begin(), rows.end(),
                                   [](const SetOutRow& row) { return row.item == "pinion"; });
  ASSERT_NE(pinion, rows.end());
  EXPECT_EQ(pinion->note,
            "base takes it 11 higher and 9 lower; teeth jam 1 higher and part 8 lower");
}

}  // namespace
}  // namespace leafstack::motor_band
