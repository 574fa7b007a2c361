// What a refusal names as the figure that would do, set in the place of what was typed: the gate is
// laid out. Ends of ranges where parts met, or which were refused without a figure.
#include <gtest/gtest.h>

#include <array>
#include <string>
#include <vector>

#include "generator/clash/report/clash.h"
#include "generator/layout/figures_that_do.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "params/read_gate.h"

namespace leafstack::shelf_told {
namespace {

/// Everything that is said against a gate before it is built, a line each.
std::string toldOf(const std::string& set, const std::vector<Override>& sizes) {
  const ReadResult read = readGate(
      R"({"site": {"opening_mm": 4500}, "gate": {"panels": 2}, "hardware": ")" + set + "\"}",
      "gate.json", sizes);
  std::string told;
  for (const auto& problem : read.problems) {
    told += toString(problem) + '\n';
  }
  if (read.gate) {
    LayoutResult result = layOut(read.gate->spec);
    tellFigures(read.gate->spec, result);
    for (const LayoutProblem& problem : result.problems) {
      told += problem.pointer + ": " + problem.text + '\n';
    }
  }
  return told;
}

struct Told {
  const char* set;
  std::vector<Override> typed;
  const char* figure;             ///< said
  std::vector<Override> instead;  ///< that figure, in place of what was typed
};

class FigureTold : public ::testing::TestWithParam<Told> {};

TEST_P(FigureTold, IsSaidAndDoes) {
  const Told& one = GetParam();
  const std::string told = toldOf(one.set, one.typed);
  EXPECT_NE(told.find(one.figure), std::string::npos) << told;
  EXPECT_EQ(toldOf(one.set, one.instead), "");
}

const char* const kBolt = "/hardware/pulley/bolt_mm";
const char* const kLift = "/hardware/keeper/lift_play_mm";
const char* const kPinion = "/hardware/motor/pinion_offset_mm";
const char* const kFaceGap = "/hardware/bracket/face_gap_mm";
const char* const kAxle = "/hardware/wheel/axle_projection_mm";
const char* const kPlateFront = "/hardware/post/plate_front_mm";
const char* const kWidth = "/hardware/wheel/width_mm";
const char* const kCatchHole = "/hardware/stop/catch_hole_mm";
const char* const kCatchFoot = "/hardware/stop/catch_foot_mm";
const char* const kThick = "/hardware/stop/thickness_mm";
const char* const kStopFoot = "/hardware/stop/foot_mm";
const char* const kPulley = "/hardware/pulley/thickness_mm";
const char* const kBracket = "/hardware/bracket/height_mm";
const char* const kThread = "/hardware/terminal/thread_mm";
const char* const kFlat = "/hardware/track/flat_width_mm";

// By hand, where a figure is no layout's: a pin M9 has 2 of wall beside its screw M5; 8 of roof and
// 3 of channel over it less a keeper of 8; standoffs end where the rack begins, 20, and 2 clear; a
// flange of 3 and 1; 5 less 2; edges of 1.2 and a pitch of 2.2 holes in 89; a rail's end 50 up less
// 2, less washer, nut and two threads of M12, 2.5 + 10.8 + 4.8; legs of 25 over sqrt 2 on either
// side, 2 off keepers that play 1.5; M8 is the first with a root of 3 + 2.
INSTANTIATE_TEST_SUITE_P(
    Shelf, FigureTold,
    ::testing::Values(
        Told{"medium", {{kBolt, "6"}}, "/hardware/pulley/bolt_mm at least 9 mm", {{kBolt, "9"}}},
        Told{"medium", {{kLift, "20"}}, "lift_play_mm at most 3 mm", {{kLift, "3"}}},
        Told{"medium", {{kPinion, "19"}}, "pinion_offset_mm at least 22 mm", {{kPinion, "22"}}},
        Told{"medium", {{kFaceGap, "1"}}, "brackets at least 4 mm off", {{kFaceGap, "4"}}},
        Told{"medium", {{kAxle, "5"}}, "at most 3 mm, or brackets at least 7 mm", {{kAxle, "3"}}},
        Told{"medium",
             {{kAxle, "5"}},
             "brackets at least 7 mm off",
             {{kAxle, "5"}, {kFaceGap, "7"}}},
        Told{"medium",
             {{kPlateFront, "200"}},
             "at most 57 mm before its post",
             {{kPlateFront, "57"}}},
        Told{"medium", {{kWidth, "80"}}, "wheels at most 33 mm wide", {{kWidth, "33"}}},
        Told{"medium",
             {{kCatchHole, "30"}, {kCatchFoot, "76"}},
             "212x89: at most 19.3 mm",
             {{kCatchHole, "19.3"}, {kCatchFoot, "76"}}},
        Told{"medium",
             {{kThick, "40"}, {kStopFoot, "70"}},
             "at most 29.9 mm",
             {{kThick, "29.9"}, {kStopFoot, "70"}}},
        Told{"medium", {{kPulley, "40"}}, "pulleys at most 34 mm thick", {{kPulley, "34"}}},
        Told{"medium", {{kBracket, "120"}}, "brackets at most 92 mm high", {{kBracket, "92"}}},
        Told{"medium", {{kThread, "4"}}, "at least 8 mm", {{kThread, "8"}}},
        Told{"heavy", {{kFlat, "32"}}, "flat_width_mm at least 36.4 mm", {{kFlat, "36.4"}}}));

// Pairs that are closer than they should be name the row, and what would do.
TEST(ShelfTold, CloseFindingsNameTheirRow) {
  for (const auto& [pointer, close, would_do] :
       {std::array{"/hardware/receiver/gap_mm", "1", "hardware.receiver.gap_mm at least 3 mm"},
        std::array{"/hardware/stop/catch_gap_mm", "1", "hardware.stop.catch_gap_mm at least 3 mm"},
        std::array{"/hardware/keeper/lift_play_mm", "0.5",
                   "hardware.keeper.lift_play_mm at least 1 mm"}}) {
    const auto findings = [&](const std::string& value) {
      const ReadResult read = readGate(R"({"site": {"opening_mm": 3000}, "gate": {"panels": 2}})",
                                       "gate.json", std::vector<Override>{{pointer, value}});
      const GateSpec& spec = read.gate.value().spec;
      return checkClashes(buildModel(spec, layOut(spec).layout)).findings;
    };
    const auto found = findings(close);
    ASSERT_FALSE(found.empty()) << pointer;
    for (const Finding& finding : found) {
      EXPECT_NE(finding.text.find(would_do), std::string::npos) << finding.text;
    }
    const std::string words = would_do;
    const auto from = words.find("least ") + 6;
    EXPECT_TRUE(findings(words.substr(from, words.find(" mm") - from)).empty()) << pointer;
  }
}

}  // namespace
}  // namespace leafstack::shelf_told
