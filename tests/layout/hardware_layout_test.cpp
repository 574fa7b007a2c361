// Shelves that are right in themselves and do not go with a gate: refused with what would do.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "generator/layout/figures_that_do.h"
#include "generator/layout/layout.h"
#include "params/read_gate.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

std::string problemsOfGate(const std::string& hardware, const std::string& drive = "{}") {
  const ReadResult read =
      readGate(R"({"site": {"opening_mm": 6000}, "gate": {"panels": 2}, "drive": )" + drive +
                   R"(, "hardware": )" + hardware + "}",
               "test");
  EXPECT_TRUE(read.gate) << (read.gate ? "" : toString(read.problems.front()));
  std::string all;
  LayoutResult result = layOut(read.gate->spec);
  tellFigures(read.gate->spec, result);
  for (const LayoutProblem& problem : result.problems) {
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

// A flat of 60 with plates of 5, 1.5 off it, is 73 wide; 28 to a side leave it 43.
TEST(HardwareLayout, AFlatLeavesItToo) {
  const std::string shelf = R"({"set": "heavy", "track": {"size_mm": 40, "flat_width_mm": 60}})";
  const std::string wide = problemsOfGate(shelf);
  EXPECT_NE(wide.find("/hardware/track/flat_width_mm: a flat of 60 mm"), std::string::npos) << wide;
  EXPECT_NE(wide.find("at most 43 mm"), std::string::npos) << wide;
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

// Corners of a wall up to 6 are twice as thick outside (EN 10219-2), half a millimetre off them,
// half an axle hole of 12.4: in a wall of 6 an axle 12 + 0.5 + 6.2 = 18.7 up; 15 up leave 8.3 for
// the corner, a wall of 4.
TEST(HardwareLayout, AxleHolesStayOffTheRailsCorners) {
  const auto problems = [](const std::string& rail, const std::string& up) {
    const ReadResult read =
        readGate(R"({"site": {"opening_mm": 6000}, "gate": {"panels": 2, "bottom_rail": ")" + rail +
                     R"("}, "hardware": {"wheel": {"axle_up_mm": )" + up + "}}}",
                 "test");
    const std::vector<LayoutProblem> found = layOut(read.gate.value().spec).problems;
    return found.empty() ? std::string() : found.front().pointer + ": " + found.front().text;
  };
  const std::string refused = problems("RHS 100x50x6", "15");
  EXPECT_EQ(refused.find("/gate/bottom_rail: RHS 100x50x6 is too thick"), 0U) << refused;
  EXPECT_NE(refused.find("an axle at least 18.7 mm up"), std::string::npos) << refused;
  EXPECT_NE(refused.find("a wall of at most 4 mm"), std::string::npos) << refused;
  EXPECT_NE(problems("RHS 100x50x6", "18.6"), "");
  EXPECT_EQ(problems("RHS 100x50x6", "18.7"), "");
  EXPECT_EQ(problems("RHS 100x50x4", "15"), "");
}

// Known once as limits: a rail 60 deep, large pulleys and wheels, thin and thick walls. They make a
// gate with nothing else said, but for what the tests above and the clash check name.
TEST(HardwareLayout, FormerLimitsAreLaidOut) {
  for (const char* gate :
       {R"("gate": {"panels": 2, "bottom_rail": "RHS 100x60x3", "top_rail": "SHS 60x60x3",
                    "stile": "SHS 60x60x3"})",
        R"("gate": {"panels": 2}, "ropes": {"pulley_pitch_mm": 95})",
        R"("gate": {"panels": 2}, "ropes": {"pulley_pitch_mm": 120},
            "guides": {"channel_depth_mm": 73})",
        R"("gate": {"panels": 2}, "hardware": {"wheel": {"outside_mm": 120, "running_mm": 110}})",
        R"("gate": {"panels": 2, "bottom_rail": "RHS 100x50x2", "top_rail": "SHS 50x50x2",
                    "stile": "SHS 50x50x2"})",
        R"("gate": {"panels": 2, "bottom_rail": "RHS 100x50x6", "top_rail": "SHS 50x50x6",
                    "stile": "SHS 50x50x6"}, "hardware": {"wheel": {"axle_up_mm": 19}})"}) {
    const ReadResult read =
        readGate(std::string(R"({"site": {"opening_mm": 6000}, )") + gate + "}", "test");
    ASSERT_TRUE(read.gate) << gate << toString(read.problems.front());
    const std::vector<LayoutProblem> found = layOut(read.gate->spec).problems;
    EXPECT_TRUE(found.empty()) << gate << found.front().text;
  }
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

// Module 4 by hand. 30 teeth are 60 + 4 to their tips, half a millimetre over the footing 64.5: so
// high must the axis be over the motor's feet, 65 in whole ones. The set's rack stands where the
// axis of 16 teeth would be 71 up, over ropes, its pitch line 103: 2 r + 4 + 0.5 in that leaves
// 49.25, 24 teeth.
TEST(HardwareLayout, ThePinionStaysOutOfTheFooting) {
  const auto motor = [](const std::string& sizes) {
    return problemsOfGate(R"({"motor": {)" + sizes + "}}");
  };
  const std::string large = motor(R"("pinion_teeth": 30)");
  EXPECT_NE(large.find("/hardware/motor/pinion_up_mm: a pinion of 30 teeth is 128 mm"),
            std::string::npos)
      << large;
  EXPECT_NE(large.find("at least 65 mm over the motor's feet, or of at most 24 teeth"),
            std::string::npos)
      << large;
  EXPECT_EQ(motor(R"("pinion_teeth": 24)"), "");
  EXPECT_NE(motor(R"("pinion_teeth": 25)"), "");
  EXPECT_EQ(motor(R"("pinion_teeth": 30, "pinion_up_mm": 65)"), "");
  EXPECT_NE(motor(R"("pinion_teeth": 30, "pinion_up_mm": 64)"), "");
}

/// The figures that a text tells between these words, and those after a number.
std::vector<double> figuresTold(const std::string& text, const std::string& before,
                                const std::string& after) {
  std::vector<double> told;
  for (std::size_t at = text.find(before); at != std::string::npos;
       at = text.find(before, at + 1)) {
    std::size_t used = 0;
    const std::string rest = text.substr(at + before.size());
    const double value = std::stod(rest, &used);
    if (rest.compare(used, after.size(), after) == 0) {
      told.push_back(value);
    }
  }
  return told;
}

// Whatever is told of too large a pinion was laid out, and does.
TEST(HardwareLayout, FiguresOfAPinionInTheFootingDo) {
  int told = 0;
  for (const int teeth : {25, 30, 32, 34, 36, 40, 48, 60}) {
    const std::string own = "\"pinion_teeth\": " + std::to_string(teeth);
    const auto motor = [](const std::string& sizes, const std::string& drive = "{}") {
      return problemsOfGate(R"({"motor": {)" + sizes + "}}", drive);
    };
    const std::string text = motor(own);
    ASSERT_NE(text, "") << teeth;
    for (const double up : figuresTold(text, "at least ", " mm over the motor's feet")) {
      EXPECT_EQ(motor(own + ", \"pinion_up_mm\": " + std::to_string(up)), "") << text;
      ++told;
    }
    for (const double fewer : figuresTold(text, "at most ", " teeth")) {
      EXPECT_EQ(motor("\"pinion_teeth\": " + std::to_string(int(fewer))), "") << text;
      ++told;
    }
    for (const double drop : figuresTold(text, "over a footing ", " mm below")) {
      EXPECT_EQ(motor(own, "{\"footing_drop_mm\": " + std::to_string(drop) + "}"), "") << text;
      ++told;
    }
  }
  EXPECT_GE(told, 8);
}

// The same of a rack that too much packing, or too little depth, holds too high.
TEST(HardwareLayout, FiguresOfARackTooHighDo) {
  const std::string shelf = R"({"motor": {"pinion_up_mm": 95}, "rack": {"height_mm": 24}})";
  const std::string text = problemsOfGate(shelf, R"({"packing_mm": 200})");
  const auto packing = figuresTold(text, "a packing of at most ", " mm");
  ASSERT_EQ(packing.size(), 1U) << text;
  EXPECT_EQ(problemsOfGate(shelf, "{\"packing_mm\": " + std::to_string(packing[0]) + "}"), "");
  EXPECT_EQ(text.find("at most -"), std::string::npos) << text;
  for (const double up : figuresTold(text, "a pinion at most ", " mm over the feet")) {
    EXPECT_EQ(problemsOfGate(R"({"rack": {"height_mm": 24}, "motor": {"pinion_up_mm": )" +
                                 std::to_string(up) + "}}",
                             R"({"packing_mm": 200})"),
              "")
        << text;
  }
  // 95 over the feet, and a footing too high by 10.
  const std::string high = R"({"motor": {"pinion_up_mm": 120}})";
  const std::string shallow = problemsOfGate(high, R"({"footing_drop_mm": 10})");
  const auto drop = figuresTold(shallow, "the footing behind the tracks ", " mm below");
  ASSERT_EQ(drop.size(), 1U) << shallow;
  EXPECT_EQ(problemsOfGate(high, "{\"footing_drop_mm\": " + std::to_string(drop[0]) + "}"), "");
}

// What sleeves on an axle are told does too, in tenths: it is rounded to the side that fits.
TEST(HardwareLayout, FiguresOfSleevesDo) {
  for (const double wall : {5.6, 6.0, 7.33}) {
    const auto with = [](double sleeve_mm, double up_mm) {
      return problemsOfGate(R"({"wheel": {"sleeve_wall_mm": )" + std::to_string(sleeve_mm) +
                                R"(, "axle_up_mm": )" + std::to_string(up_mm) + "}}",
                            "{}");
    };
    const std::string text = with(wall, 15);
    const auto walls = figuresTold(text, "a wall of at most ", " mm");
    const auto ups = figuresTold(text, "an axle at least ", " mm up");
    ASSERT_EQ(walls.size(), 1U) << text;
    ASSERT_EQ(ups.size(), 1U) << text;
    EXPECT_EQ(with(walls[0], 15), "");
    EXPECT_EQ(with(wall, ups[0]), "");
  }
}

// A wedge under the motor on a slope is not the ropes' doing.
TEST(HardwareLayout, ARackOnAWedgeIsNotBlamedOnTheRopes) {
  const auto problems = [](double drop_mm) {
    nlohmann::json file = {{"site", {{"opening_mm", 6000}, {"grade", 0.02}}}};
    file["gate"]["panels"] = 2;
    file["hardware"]["motor"]["pinion_up_mm"] = 105;
    file["drive"]["footing_drop_mm"] = drop_mm;
    const GateSpec spec = gates::specOf(file);
    LayoutResult result = layOut(spec);
    tellFigures(spec, result);
    return result.problems;
  };
  const auto told = problems(0);
  ASSERT_EQ(told.size(), 1U);
  EXPECT_EQ(told.front().pointer, "/drive/footing_drop_mm") << told.front().text;
  const auto drop = figuresTold(told.front().text, "the footing behind the tracks ", " mm below");
  ASSERT_EQ(drop.size(), 1U) << told.front().text;
  EXPECT_TRUE(problems(drop[0]).empty());
}

// By hand: strands of pulleys of 110 are 55 from the rail's middle, 30 off its face; brackets begin
// 5 off it and are as deep again behind the strand: 55. The post stands a guide rail of 32 and a
// channel of 50 behind the rail, its plate 38 before it: from 44 on. With 2 between them the
// channel must be 13 deeper.
TEST(HardwareLayout, TheGroundBracketsFootStaysOffThePostsPlate) {
  const auto gate = [](const std::string& pitch, const std::string& channel) {
    const ReadResult read = readGate(
        R"({"site": {"opening_mm": 6000}, "gate": {"panels": 2}, "ropes": {"pulley_pitch_mm": )" +
            pitch + R"(}, "guides": {"channel_depth_mm": )" + channel + "}}",
        "test");
    std::string all;
    for (const LayoutProblem& problem : layOut(read.gate.value().spec).problems) {
      all += problem.pointer + ": " + problem.text + '\n';
    }
    return all;
  };
  const std::string deep = gate("110", "50");
  EXPECT_NE(deep.find("/ropes/pulley_pitch_mm: the ground bracket's foot"), std::string::npos)
      << deep;
  EXPECT_NE(deep.find("at least 63 mm deep"), std::string::npos) << deep;
  EXPECT_EQ(gate("110", "63"), "");
  EXPECT_NE(gate("110", "62"), "");
}

// Feet of a rack end in a rail's flat, and what is told to do cures it.
TEST(HardwareLayout, RackFeetStayInTheRailsFlat) {
  const auto problems = [](double pinion_up_mm) {
    nlohmann::json file = {{"site", {{"opening_mm", 6000}}}, {"gate", {{"material", "aluminium"}}}};
    file["hardware"]["rack"]["fixing"] = "foot";
    file["hardware"]["motor"]["pinion_up_mm"] = pinion_up_mm;
    const GateSpec spec = gates::specOf(file);
    LayoutResult result = layOut(spec);
    tellFigures(spec, result);
    return result.problems;
  };
  const auto told = problems(79);  // less than a step of the footing would cure
  ASSERT_EQ(told.size(), 1U);
  EXPECT_NE(told.front().text.find("a pinion at most 77 mm over the feet"), std::string::npos)
      << told.front().text;
  EXPECT_TRUE(problems(77).empty());
}

}  // namespace
}  // namespace leafstack
