// Hardware sets: what a gate takes from which, and every fault of a set told where it stands.
#include <gtest/gtest.h>

#include <map>

#include "params/read_gate.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

/// Files as a folder holds them; what is not in it is missing.
HardwareInput inputWith(const std::map<std::string, std::string>& files) {
  HardwareInput input;
  input.gate_folder = "job";
  input.read = [files](const std::string& path) {
    const auto found = files.find(path);
    return found == files.end() ? FileText{"", path + ": no such file"}
                                : FileText{found->second, ""};
  };
  return input;
}

ReadResult readOf(const std::string& hardware, const HardwareInput& input = {},
                  const std::vector<Override>& overrides = {}) {
  return readGate(R"({"site": {"opening_mm": 6000}, "hardware": )" + hardware + "}",
                  "job/gate.json", overrides, input);
}

/// The one problem there is, as it is printed.
std::string onlyProblem(const ReadResult& result) {
  EXPECT_EQ(result.problems.size(), 1U);
  return result.problems.empty() ? "" : toString(result.problems.front());
}

const ResolvedValue& rowAt(const ResolvedGate& gate, std::string_view pointer) {
  for (const ResolvedValue& value : gate.values) {
    if (value.pointer == pointer) {
      return value;
    }
  }
  throw std::out_of_range(std::string(pointer));
}

TEST(HardwareSets, EachOfOursIsRightAndUnlikeTheOthers) {
  std::map<double, std::string> wheels;
  for (const BuiltInSet& set : builtInSets()) {
    const ReadResult result = readOf('"' + std::string(set.name) + '"');
    ASSERT_TRUE(result.gate) << set.name;
    EXPECT_EQ(result.gate->spec.hardware.set, set.name);
    EXPECT_TRUE(wheels.emplace(result.gate->spec.hardware.wheel.outside_mm, set.name).second);
  }
  EXPECT_EQ(wheels.size(), 3U);
}

// A set builds on another, the gate's own sizes stand above both, --set above all.
TEST(HardwareSets, LaterWordsStandAboveEarlierOnes) {
  const HardwareInput input = inputWith(
      {{"job/shelf.json",
        R"({"leafstack_hardware": 1, "from": "sub/base.json", "wheel": {"width_mm": 25}})"},
       {"job/sub/base.json",
        R"({"leafstack_hardware": 1, "from": "heavy",
            "wheel": {"width_mm": 30, "axle_mm": 17}, "track": {"size_mm": 21}})"}});
  const ReadResult result = readOf(R"({"set": "shelf.json", "wheel": {"axle_up_mm": 19}})", input,
                                   {{"/hardware/track/size_mm", "22"}});
  ASSERT_TRUE(result.gate) << toString(result.problems.front());
  const WheelHardware& wheel = result.gate->spec.hardware.wheel;
  EXPECT_EQ(wheel.axle_up_mm, 19);   // gate
  EXPECT_EQ(wheel.width_mm, 25);     // shelf
  EXPECT_EQ(wheel.axle_mm, 17);      // what it builds on
  EXPECT_EQ(wheel.outside_mm, 120);  // heavy
  EXPECT_EQ(wheel.axle_projection_mm, HardwareSpec().wheel.axle_projection_mm);
  EXPECT_EQ(result.gate->spec.hardware.track.size_mm, 22);
  EXPECT_EQ(rowAt(*result.gate, "/hardware/wheel/axle_up_mm").origin, Origin::kGiven);
  EXPECT_EQ(rowAt(*result.gate, "/hardware/wheel/width_mm").set, "shelf.json");
  EXPECT_EQ(rowAt(*result.gate, "/hardware/wheel/axle_mm").set, "sub/base.json");
  EXPECT_EQ(rowAt(*result.gate, "/hardware/wheel/outside_mm").set, "heavy");
  EXPECT_EQ(rowAt(*result.gate, "/hardware/wheel/outside_mm").origin, Origin::kSet);
  EXPECT_EQ(rowAt(*result.gate, "/hardware/wheel/axle_projection_mm").origin, Origin::kDefault);
  EXPECT_EQ(rowAt(*result.gate, "/hardware/track/size_mm").origin, Origin::kOverride);
}

TEST(HardwareSets, TheCommandLineTakesThePlaceOfTheGatesSet) {
  HardwareInput input =
      inputWith({{"house.json", R"({"leafstack_hardware": 1, "wheel": {"width_mm": 33}})"}});
  input.chosen = "house.json";
  const ReadResult result = readOf(R"({"set": "heavy", "wheel": {"axle_mm": 15}})", input);
  ASSERT_TRUE(result.gate);
  EXPECT_EQ(result.gate->spec.hardware.wheel.width_mm, 33);
  EXPECT_EQ(result.gate->spec.hardware.wheel.axle_mm, 15);
  EXPECT_EQ(result.gate->spec.hardware.wheel.outside_mm, HardwareSpec().wheel.outside_mm);
  EXPECT_EQ(rowAt(*result.gate, "/hardware/set").value, "house.json");
}

TEST(HardwareSets, EveryFaultOfEveryFileIsToldWhereItStands) {
  const HardwareInput input = inputWith(
      {{"job/shelf.json",
        "{\"leafstack_hardware\": 1, \"from\": \"base.json\",\n"
        " \"wheel\": {\"width_mm\": 25, \"outside\": 3}}"},
       {"job/base.json",
        "{\"leafstack_hardware\": 1,\n \"wheel\": {\"width_mm\": \"30\"}, \"set\": \"heavy\"}"}});
  const ReadResult result = readOf(R"({"set": "shelf.json", "track": {"size_mm": 1000}})", input);
  ASSERT_EQ(result.problems.size(), 4U);
  EXPECT_EQ(toString(result.problems[0]),
            "job/gate.json:1:87: /hardware/track/size_mm: 1000 is too large (allowed: 8 to 60 mm); "
            "the nearest allowed value is 60");
  EXPECT_TRUE(toString(result.problems[1])
                  .starts_with("job/shelf.json:2:28: /wheel/outside: unknown key \"outside\""))
      << toString(result.problems[1]);
  // Told although shelf.json gives another width.
  EXPECT_TRUE(toString(result.problems[2])
                  .starts_with("job/base.json:2:24: /wheel/width_mm: \"30\" has no unit"))
      << toString(result.problems[2]);
  EXPECT_TRUE(toString(result.problems[3]).starts_with("job/base.json:2:31: /set: belongs to"))
      << toString(result.problems[3]);
}

TEST(HardwareSets, WhatIsNoSetIsNamed) {
  const std::string missing = onlyProblem(readOf("\"shelf.json\"", inputWith({})));
  EXPECT_NE(missing.find("job/shelf.json: no such file"), std::string::npos) << missing;
  const std::string unknown = onlyProblem(readOf("\"hevy\""));
  EXPECT_NE(unknown.find("did you mean \"heavy\"?"), std::string::npos) << unknown;
  const std::string other =
      onlyProblem(readOf("\"a.json\"", inputWith({{"job/a.json", R"({"site": {}})"}})));
  EXPECT_NE(other.find("\"job/a.json\" is not a hardware set"), std::string::npos) << other;
  const std::string itself = onlyProblem(
      readOf("\"a.json\"",
             inputWith({{"job/a.json", R"({"leafstack_hardware": 1, "from": "./a.json"})"}})));
  EXPECT_NE(itself.find("builds on itself"), std::string::npos) << itself;
  const std::string large =
      onlyProblem(readOf("\"a.json\"", inputWith({{"job/a.json", std::string(300'000, ' ')}})));
  EXPECT_NE(large.find("job/a.json"), std::string::npos) << large;
  HardwareInput nowhere = inputWith({});
  nowhere.gate_folder.reset();
  const std::string piped = onlyProblem(readOf("\"a.json\"", nowhere));
  EXPECT_NE(piped.find("has no folder of its own"), std::string::npos) << piped;
}

TEST(HardwareSets, AChainOfSetsEnds) {
  std::map<std::string, std::string> files;
  for (int i = 0; i < 20; ++i) {
    files["job/" + std::to_string(i) + ".json"] =
        R"({"leafstack_hardware": 1, "from": ")" + std::to_string(i + 1) + ".json\"}";
  }
  const std::string problem = onlyProblem(readOf("\"0.json\"", inputWith(files)));
  EXPECT_NE(problem.find("more than 8 sets build on each other"), std::string::npos) << problem;
}

// Two items that do not go together, both named, and what would do, by hand: running on 90, a bar
// of 20 takes wheels of up to 110; a pinion of module 4 and 16 teeth has a root of 4 (16 - 2.5)
// = 54. Anchors in holes of 14 are M12, whose socket wants 15 beside the weld (a maker's chart),
// the weld's leg on 10 plate is 5: 14 + 15 + 5 = 34 and 2 x 20; a plate stands out by the leg
// and 3. The channel's top is 3 above a roof of 8, less 2 of play: 9.
TEST(ShelfRules, WhatDoesNotFitIsToldWithTheFigureThatWould) {
  const std::vector<std::pair<std::string, std::string>> cases = {
      {R"({"wheel": {"outside_mm": 112, "width_mm": 30}})",
       "/hardware/wheel/outside_mm at most 110 mm"},
      {R"({"wheel": {"running_mm": 110}})", "/hardware/wheel/outside_mm at least 112 mm"},
      {R"({"wheel": {"width_mm": 15}})", "has no rims beside a groove"},
      {R"({"wheel": {"axle_mm": 30}})", "/hardware/wheel/axle_head_mm at least 32 mm"},
      {R"({"motor": {"pinion_teeth": 16.5}})", "/hardware/motor/pinion_teeth at least 17"},
      {R"({"motor": {"pinion_shaft_mm": 55}})", "/hardware/motor/pinion_shaft_mm at most 50 mm"},
      {R"({"guide": {"lip_mm": 40}})", "hold no block with a neck"},
      {R"({"post": {"plate_front_mm": 10}})", "/hardware/post/plate_front_mm at least 36.8 mm"},
      {R"({"stop": {"catch_foot_mm": 30}})", "/hardware/stop/catch_foot_mm at least 40 mm"},
      {R"({"post": {"plate_side_mm": 5}})", "/hardware/post/plate_side_mm at least 8 mm"},
      {R"({"keeper": {"lift_plate_mm": 10}})", "/hardware/keeper/lift_plate_mm at most 9 mm"},
      // A bar of 20 leans by 45 degrees 10 + 10 / sqrt 2 = 17.07 up: 2 for the lift keepers' play
      // and 1 to stand beside it. A groove 5 deep has its lip sqrt(100 - 25) = 8.66 aside.
      {R"({"keeper": {"low_mm": 30}})", "/hardware/keeper/low_mm at most 14 mm"},
      {R"({"keeper": {"lift_play_mm": 11.5, "lift_plate_mm": 3}, "guide": {"block_roof_mm": 14}})",
       "/hardware/keeper/lift_play_mm at most 11 mm"},
      {R"({"keeper": {"play_mm": 8}})", "/hardware/keeper/play_mm at most 7.6 mm"},
      {R"({"set": "heavy", "keeper": {"play_mm": 10}})", "/hardware/keeper/play_mm at most 9 mm"},
      {R"({"set": "heavy", "keeper": {"low_mm": 14}})", "/hardware/keeper/low_mm at most 12 mm"},
      // Legs of 25 reach 25 sqrt 2 = 35.36 across, and keepers that play 1.5 are 2 off them.
      {R"({"set": "heavy", "track": {"flat_width_mm": 30}})",
       "/hardware/track/flat_width_mm at least 36.4 mm"},
      {R"({"track": {"flat_mm": 15}})", "a flat of 15 mm goes under an angle"},
      {R"({"receiver": {"lead_mm": 30}})", "/hardware/receiver/lead_mm at most 28 mm"}};
  for (const auto& [hardware, words] : cases) {
    const ReadResult result = readOf(hardware);
    ASSERT_EQ(result.problems.size(), 1U) << hardware;
    const std::string said = toString(result.problems.front());
    EXPECT_NE(said.find(words), std::string::npos) << hardware << '\n' << said;
    EXPECT_NE(said.find("job/gate.json:1:"), std::string::npos) << said;
  }
}

// Kinds that do not go together, both named; figures by hand. An angle's legs lean by 45 degrees,
// so that its wheel's groove is as wide as it is deep on the diameter: 120 - 100 = 20, and 1 each
// side makes 22. A leg of 30 reaches 30 / sqrt 2 = 21.213 below the heel: 100 + 2 x 21.213 = 142.4.
// A wheel of 100 under a plate of 8 needs 8 + 50 + 2 = 60. The least fold of 4 plate is 18.5
// (published by a bending shop).
TEST(ShelfRules, KindsThatDoNotMeetAreNamed) {
  const std::string angle = R"("track": {"kind": "angle", "size_mm": 30, "thickness_mm": 3})";
  const auto onAngle = [&](const std::string& wheel) {
    return "{" + angle + R"(, "wheel": {"groove": "v", )" + wheel + "}}";
  };
  const std::vector<std::pair<std::string, std::string>> cases = {
      {R"({"wheel": {"groove": "v"}})", "V groove does not run on a round bar of 20 mm"},
      {"{" + angle + "}", "a round groove does not run on an angle of 30 mm"},
      {onAngle(R"("outside_mm": 120, "running_mm": 100, "width_mm": 21)"),
       "/hardware/wheel/width_mm at least 22 mm"},
      {onAngle(R"("outside_mm": 150, "running_mm": 100, "width_mm": 60)"),
       "/hardware/wheel/outside_mm at most 142.4 mm"},
      {onAngle(R"("outside_mm": 106, "running_mm": 100)"),
       "/hardware/wheel/outside_mm at least 108 mm"},
      {onAngle(R"("outside_mm": 110, "running_mm": 95, "groove_deg": 100)"),
       "/hardware/wheel/groove_deg at most 90 deg"},
      {R"({"wheel": {"mount": "plate"}})", "/hardware/wheel/axle_up_mm at most -60 mm"},
      {R"({"wheel": {"axle_up_mm": -60}})", "/hardware/wheel/axle_up_mm at least 5 mm"},
      {R"({"wheel": {"mount": "plate", "axle_up_mm": -60, "bolt_gauge_mm": 30}})",
       "/hardware/wheel/plate_width_mm at least 48 mm"},
      {R"({"guide": {"channel": "folded"}})", "/hardware/guide/lip_mm at least 18.5 mm"},
      {R"({"rack": {"fixing": "foot", "slot_height_mm": 12}})",
       "/hardware/rack/slot_height_mm at most 10 mm"}};
  for (const auto& [hardware, words] : cases) {
    const ReadResult result = readOf(hardware);
    ASSERT_EQ(result.problems.size(), 1U)
        << hardware << (result.problems.empty() ? "" : toString(result.problems.front()));
    const std::string said = toString(result.problems.front());
    EXPECT_NE(said.find(words), std::string::npos) << hardware << '\n' << said;
  }
}

// A motor's own word stands above what motors share, unless a later text says what they share.
TEST(MotorSets, AMotorIsMadeOfWhatItSaysAndWhatAllShare) {
  const HardwareInput input =
      inputWith({{"job/shelf.json", R"({"leafstack_hardware": 1, "motor": {"depth_mm": 190},
          "motors": {"tiny": {"length_mm": 120, "pinion_up_mm": 60, "release": "front"},
                     "narrow": {"force_N": 650, "depth_mm": 150}}})"}});
  const auto read = [&](const std::string& motor, const std::string& sizes) {
    return readGate(R"({"site": {"opening_mm": 6000}, "drive": {"motor": ")" + motor +
                        R"("}, "hardware": {"set": "shelf.json")" + sizes + "}}",
                    "job/gate.json", {}, input);
  };
  const ReadResult tiny = read("tiny", R"(, "motor": {"pinion_up_mm": 70})");
  ASSERT_TRUE(tiny.gate) << toString(tiny.problems.front());
  EXPECT_EQ(tiny.gate->spec.drive.motor.name, "tiny");
  EXPECT_EQ(tiny.gate->spec.drive.motor.length_mm, 120);
  EXPECT_EQ(tiny.gate->spec.drive.motor.overrun_open_mm, 60);    // the row's default
  EXPECT_EQ(tiny.gate->spec.drive.motor.force_N, std::nullopt);  // nobody knows
  EXPECT_EQ(tiny.gate->spec.hardware.motor.pinion_up_mm, 70);    // the gate's, for all
  EXPECT_EQ(tiny.gate->spec.hardware.motor.depth_mm, 190);       // shared in the set
  EXPECT_EQ(tiny.gate->spec.hardware.motor.release, "front");
  EXPECT_EQ(rowAt(*tiny.gate, "/drive/motor/length_mm").set, "shelf.json");
  EXPECT_EQ(rowAt(*tiny.gate, "/hardware/motor/pinion_up_mm").origin, Origin::kGiven);
  EXPECT_EQ(rowAt(*tiny.gate, "/drive/motor/overrun_open_mm").origin, Origin::kDefault);
  const ReadResult narrow = read("narrow", R"(, "motors": {"narrow": {"length_mm": 140}})");
  ASSERT_TRUE(narrow.gate) << toString(narrow.problems.front());
  EXPECT_EQ(narrow.gate->spec.drive.motor.length_mm, 140);       // gate
  EXPECT_EQ(narrow.gate->spec.drive.motor.force_N, 650);         // shelf
  EXPECT_EQ(narrow.gate->spec.drive.motor.overrun_open_mm, 20);  // under all sets
  EXPECT_EQ(narrow.gate->spec.hardware.motor.depth_mm, 150);     // its own above the shared
  EXPECT_EQ(rowAt(*narrow.gate, "/drive/motor/length_mm").origin, Origin::kGiven);
  EXPECT_EQ(rowAt(*narrow.gate, "/drive/motor/overrun_open_mm").set, "medium");
  const auto& all = *narrow.gate->spec.motors;
  ASSERT_EQ(all.size(), 3U);
  EXPECT_EQ(all[2].drive.name, "tiny");
  EXPECT_EQ(all[2].body.pinion_up_mm, 60);
  EXPECT_EQ(rowAt(*narrow.gate, "/hardware/motors").value["tiny"]["pinion_up_mm"], 60);
}

TEST(MotorSets, EveryFaultIsToldWhereItStands) {
  const ReadResult result = readGate(
      R"({"site": {"opening_mm": 6000}, "drive": {"motor": "narow"}, "hardware": {"motors":
 {"own": {"length": 3, "pinion_up_mm": 9000}, "given": {}, "other": 3}}})",
      "gate.json");
  const std::vector<std::string> words = {
      "gate.json:1:51: /drive/motor: \"narow\" is not a motor of the hardware set",
      "/hardware/motors/own/length: unknown key \"length\"; did you mean \"length_mm\"?",
      "/hardware/motors/own/pinion_up_mm: 9000 is too large (allowed: 10 to 300 mm)",
      "/hardware/motors/given: \"given\" is what a gate file's own motor is called",
      "/hardware/motors/other: 3 is not a motor"};
  ASSERT_EQ(result.problems.size(), words.size());
  for (std::size_t i = 0; i < words.size(); ++i) {
    EXPECT_NE(toString(result.problems[i]).find(words[i]), std::string::npos)
        << toString(result.problems[i]);
  }
}

// Sizes that go by the gate: whoever looks for them on the shelf is told where they are.
TEST(HardwareSets, KeysOfTheGateFileAreSaidToBe) {
  const std::pair<const char*, const char*> elsewhere[] = {
      {R"({"pulley": {"diameter_mm": 80}})", "/ropes/pulley_pitch_mm"},
      {R"({"pulley": {"outside_mm": 80}})", "/ropes/pulley_pitch_mm"},
      {R"({"guide": {"channel_width_mm": 70}})", "/guides/channel_width_mm"},
      {R"({"guide": {"channel_depth_mm": 45}})", "/guides/channel_depth_mm"},
      {R"({"guide": {"leg_mm": 30}})", "/guides/rail_mm"},
      {R"({"post": {"size_mm": 100}})", "/guides/post_mm"},
  };
  for (const auto& [hardware, pointer] : elsewhere) {
    const std::string told = onlyProblem(readOf(hardware));
    EXPECT_NE(told.find("the gate file's " + std::string(pointer)), std::string::npos) << told;
    EXPECT_NE(findParameter(pointer), nullptr) << pointer;
  }
}

}  // namespace
}  // namespace leafstack
