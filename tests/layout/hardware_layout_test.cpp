// Shelves that are right in themselves and do not go with a gate: refused with what would do.
#include <gtest/gtest.h>

#include <string>

#include "generator/layout/layout.h"
#include "params/read_gate.h"

namespace leafstack {
namespace {

std::string problemsOfGate(const std::string& hardware, const std::string& drive = "{}") {
  const ReadResult read =
      readGate(R"({"site": {"opening_mm": 6000}, "gate": {"panels": 2}, "drive": )" + drive +
                   R"(, "hardware": )" + hardware + "}",
               "test");
  EXPECT_TRUE(read.gate) << (read.gate ? "" : toString(read.problems.front()));
  std::string all;
  for (const LayoutProblem& problem : layOut(read.gate->spec).problems) {
    all += problem.pointer + ": " + problem.text + '\n';
  }
  return all;
}

// By hand, rail 100x50x3: the ground bracket stands from 25 + 5 behind the track's middle, 2 clear,
// 8 up on its foot, where the legs of an angle 4 thick have come in by 8 - 4 / sqrt 2 = 5.17: half
// an angle may be 33.17 wide, so its leg 46.9.
TEST(HardwareLayout, AnAngleLeavesTheGroundBracketItsPlace) {
  const std::string wheel = R"("wheel": {"groove": "v", "outside_mm": 110, "running_mm": 95,
                               "width_mm": 22}, "track": {"kind": "angle", "size_mm": )";
  EXPECT_EQ(problemsOfGate("{" + wheel + "46}}"), "");
  const std::string wide = problemsOfGate("{" + wheel + "50}}");
  EXPECT_NE(wide.find("/hardware/track/size_mm: an angle of 50 mm"), std::string::npos) << wide;
  EXPECT_NE(wide.find("at most 46 mm"), std::string::npos) << wide;
}

// The flat of that rail's underside is 50 - 2 (2 x 3 + 0.5) = 37, a formed hole for M10 9.2: 27.8
// between bolts. Heads of M10 are 17.77 over corners and 6.4 high (ISO 4014): 8 under the rail, the
// wheel's 50 with 2 clear is 52 about an axle 62 down; the heads end 14.4 down, 47.6 over the axle,
// where that circle is sqrt(52^2 - 47.6^2) = 20.93 wide; 2 x 20.93 + 17.77 = 59.6.
TEST(HardwareLayout, CarriersHaveTheirBoltsInTheFlatAndClearOfTheWheel) {
  const auto carrier = [](const std::string& bolts) {
    return R"({"wheel": {"mount": "plate", "axle_up_mm": -62, "width_mm": 20, "plate_width_mm": 50, )" +
           bolts + "}}";
  };
  EXPECT_EQ(problemsOfGate(carrier(R"("bolt_gauge_mm": 27.8, "bolt_pitch_mm": 60)")), "");
  const std::string wide = problemsOfGate(carrier(R"("bolt_gauge_mm": 30)"));
  EXPECT_NE(wide.find("/hardware/wheel/bolt_gauge_mm"), std::string::npos) << wide;
  EXPECT_NE(wide.find("at most 27.8 mm"), std::string::npos) << wide;
  const std::string near = problemsOfGate(carrier(R"("bolt_pitch_mm": 59)"));
  EXPECT_NE(near.find("/hardware/wheel/bolt_pitch_mm"), std::string::npos) << near;
  EXPECT_NE(near.find("at least 60 mm"), std::string::npos) << near;
  const std::string broad = problemsOfGate(
      R"({"wheel": {"mount": "plate", "axle_up_mm": -62, "width_mm": 40, "axle_projection_mm": 4}})");
  EXPECT_NE(broad.find("a wheel carrier 62 mm wide"), std::string::npos) << broad;
  EXPECT_NE(broad.find("at most 56 mm"), std::string::npos) << broad;
}

// A pinion of 95 holds the medium rack at 95 + 32 - 4 - 50 = 73 without packers; standoffs of 16 go
// up to 100 - 6 - 16 = 78, so that it fits; of 105 it is at 83: 5 too high.
TEST(HardwareLayout, AMotorTooHighSinksItsFootingOrIsRefused) {
  EXPECT_EQ(problemsOfGate(R"({"motor": {"pinion_up_mm": 95}})"), "");
  const std::string high = R"({"motor": {"pinion_up_mm": 105}})";
  EXPECT_EQ(problemsOfGate(high), "");  // sunk by as much
  EXPECT_EQ(problemsOfGate(high, R"({"footing_drop_mm": 5})"), "");
  const std::string refused = problemsOfGate(high, R"({"footing_drop_mm": 0})");
  EXPECT_NE(refused.find("/drive/footing_drop_mm"), std::string::npos) << refused;
  EXPECT_NE(refused.find("a pinion at most 100 mm over the feet"), std::string::npos) << refused;
  EXPECT_NE(refused.find("the footing behind the tracks 5 mm below theirs"), std::string::npos)
      << refused;
}

}  // namespace
}  // namespace leafstack
