// A shelf judged rule by rule, by itself and on a gate.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "exporters/lists/shelf_check_text.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/layout.h"
#include "generator/shelf/measured_gate.h"
#include "generator/shelf/shelf_check.h"
#include "params/read_gate.h"

namespace leafstack {
namespace {

/// Read without refusing what does not fit, as --check does.
GateSpec specToCheck(const std::string& hardware, const std::vector<Override>& overrides = {}) {
  HardwareInput input;
  input.refuses_misfits = false;
  const ReadResult read = readGate(
      R"({"site": {"opening_mm": 6000}, "gate": {"panels": 3}, "hardware": )" + hardware + "}",
      "gate.json", overrides, input);
  EXPECT_TRUE(read.gate) << (read.problems.empty() ? "" : toString(read.problems.front()));
  return read.gate.value().spec;
}

const JudgedRule& ruleOf(const ShelfCheck& check, std::string_view pointer) {
  for (const JudgedRule& rule : check.rules) {
    if (!rule.sizes.empty() && rule.sizes.front().pointer == pointer) {
      return rule;
    }
  }
  throw std::out_of_range(std::string(pointer));
}

TEST(ShelfCheck, OurSetsFitThemselvesAndAGate) {
  for (const char* set : {"\"light\"", "\"medium\"", "\"heavy\""}) {
    const GateSpec spec = specToCheck(set);
    EXPECT_TRUE(checkShelf(spec).fits()) << set;
    EXPECT_TRUE(checkShelfOnGate(spec).fits()) << set;
  }
}

// By hand: a wheel of 100 that runs on 90 over a bar of 20 has its groove's middle 10.5 + 45 from
// the axle, so the outside cuts the groove's circle of 10.5 where sqrt(10.5^2 - 5.5^2) = 8.944 to
// either side: 17.889 across, and 1 mm of rim on both sides makes 19.889.
TEST(ShelfCheck, ABrokenRuleNamesBothItemsAndWhatWouldDo) {
  const ShelfCheck check = checkShelfOnGate(specToCheck(R"({"wheel": {"width_mm": 16}})"));
  EXPECT_FALSE(check.shelfRulesHold());
  const JudgedRule& rule = ruleOf(check, "/hardware/wheel/width_mm");
  EXPECT_FALSE(rule.fits);
  EXPECT_EQ(rule.figure, 16);
  EXPECT_NEAR(rule.least, 19.889, 1e-3);
  const auto cure = std::find_if(check.cures.begin(), check.cures.end(), [](const SizeCure& one) {
    return std::string_view(one.row->pointer) == "/hardware/wheel/width_mm";
  });
  ASSERT_NE(cure, check.cures.end());
  EXPECT_NEAR(cure->would, 19.9, 1e-9) << "the first tenth that is wide enough";
  const std::string text = shelfCheckText(check, {"yard.json", "gate.json", {}, {}});
  for (const char* words : {"does not fit", "FAILS  /hardware/wheel/width_mm 16 mm",
                            "/hardware/track/size_mm 20", "One of these alone would do"}) {
    EXPECT_NE(text.find(words), std::string::npos) << words << " in\n" << text;
  }
}

// By hand: ropes over pulleys 24 thick lie 7.51 (half of a nut M8 over its corners) + 12 + 2 apart,
// in whole mm 22. Their brackets are 22 + 8.6 + 8 = 39 high, both pulleys with their covers 47;
// neighbours' ropes keep 39 / 2 + 47 / 2 + 2 = 45 apart, and a rail 100 high has 34 to 66 for
// their middles: slots are 24 + 2 x (0.5 + 3 + 1) = 33 high.
TEST(ShelfCheck, APulleyTooThickForItsRailIsToldWithTheRail) {
  const GateSpec spec = specToCheck(R"({"pulley": {"thickness_mm": 24}})", {{"/gate/panels", "3"}});
  const ShelfCheck check = checkShelfOnGate(spec);
  ASSERT_FALSE(check.problems.empty());
  EXPECT_TRUE(check.shelfRulesHold());
  EXPECT_NE(check.problems.front().text.find("RHS 100x50x3"), std::string::npos)
      << check.problems.front().text;
  const auto cures = [&](const char* pointer) {
    return std::count_if(check.cures.begin(), check.cures.end(), [&](const SizeCure& one) {
      return std::string_view(one.row->pointer) == pointer;
    });
  };
  EXPECT_GE(cures("/hardware/pulley/thickness_mm"), 1) << "thinner";
}

TEST(ShelfCheck, APinionTooHighForTheRackIsARuleOfTheGate) {
  const GateSpec spec = specToCheck("\"medium\"", {{"/drive/packing_mm", "0"}});
  const ShelfCheck check = checkShelfOnGate(spec);
  const auto found =
      std::find_if(check.rules.begin(), check.rules.end(), [](const JudgedRule& one) {
        return one.is_of_gate && one.sizes.front().pointer == "/hardware/motor/pinion_up_mm";
      });
  ASSERT_NE(found, check.rules.end());
  const JudgedRule& rule = *found;
  EXPECT_EQ(rule.figure_name, "packing under the motor");
  EXPECT_EQ(rule.least, 0);
}

TEST(ShelfCheck, TheRoomGivenIsARuleOfTheGate) {
  const GateSpec spec = specToCheck("\"medium\"", {{"/site/room_mm", "100 mm"}});
  const ShelfCheck check = checkShelfOnGate(spec);
  EXPECT_FALSE(check.fits());
  EXPECT_TRUE(check.shelfRulesHold());
  const JudgedRule& rule = ruleOf(check, "/site/room_mm");
  EXPECT_EQ(rule.most, 100);
  EXPECT_GT(rule.figure, 100);
}

// Ranges: at their ends nothing breaks, within a step further something does. Judged by the rules
// and the layout themselves.
TEST(ShelfCheck, RangesEndWhereSomethingBreaks) {
  constexpr double kStep = 0.1;
  const GateSpec spec = specToCheck("\"medium\"");
  const ShelfCheck check = checkShelfOnGate(spec);
  ASSERT_GT(check.ranges.size(), 20U);
  const auto fitsAt = [&](const SizeRange& range, double value) {
    GateSpec changed = spec;
    setFigure(*range.row, changed, value);
    const LayoutResult result = layOut(changed);
    return checkShelf(changed).fits() && result.problems.empty() &&
           result.layout.heights.motor_packing_mm > -1e-6;
  };
  // Heights are rounded up, so that what fits may come and go by less than a step.
  const auto breaksPast = [&](const SizeRange& range, double end, double outward) {
    return !fitsAt(range, end + outward * kStep / 2) || !fitsAt(range, end + outward * kStep);
  };
  for (const SizeRange& range : check.ranges) {
    if (*range.row->unit == '\0') {
      continue;
    }
    EXPECT_TRUE(fitsAt(range, range.least)) << range.row->pointer;
    EXPECT_TRUE(fitsAt(range, range.most)) << range.row->pointer;
    EXPECT_TRUE(range.below.empty() || breaksPast(range, range.least, -1)) << range.row->pointer;
    EXPECT_TRUE(range.above.empty() || breaksPast(range, range.most, 1)) << range.row->pointer;
  }
}

// What is "auto" has a range about what it comes to: M8 of the default terminal goes down to what a
// rope of 3 mm goes through.
TEST(ShelfCheck, AutosHaveRangesToo) {
  const ShelfCheck check = checkShelfOnGate(specToCheck("\"medium\""));
  int autos = 0;
  for (const SizeRange& range : check.ranges) {
    autos += range.is_auto ? 1 : 0;
    if (std::string_view(range.row->pointer) == "/hardware/terminal/thread_mm") {
      EXPECT_TRUE(range.is_auto);
      EXPECT_NEAR(range.value, 8, 1e-9);
      EXPECT_NE(range.below.find("does not go through a hollow screw"), std::string::npos)
          << range.below;
    }
  }
  EXPECT_GE(autos, 10);
}

// No range may go where one only looked: on surveyed ground that is said instead.
TEST(ShelfCheck, NoRangesOnSurveyedGround) {
  const GateSpec spec = specToCheck("\"medium\"", {{"/site/track_survey_mm", "[[0,0],[6000,20]]"}});
  const ShelfCheck check = checkShelfOnGate(spec);
  EXPECT_FALSE(check.has_ranges);
  EXPECT_NE(shelfCheckText(check, {"medium", "gate.json", {}, {}}).find("surveyed"),
            std::string::npos);
}

TEST(ShelfCheck, JsonSaysTheSame) {
  const ShelfCheck check = checkShelfOnGate(specToCheck(R"({"wheel": {"width_mm": 16}})"));
  const auto told = nlohmann::json::parse(shelfCheckJson(
      check, {"yard.json", "gate.json", ShelfClash{"Nothing meets that should not.", true}, {}}));
  EXPECT_EQ(told.at("fits"), false);
  EXPECT_EQ(told.at("rules").size(), check.rules.size());
  EXPECT_EQ(told.at("cures").size(), check.cures.size());
  EXPECT_EQ(told.at("clash"), "Nothing meets that should not.");
  for (const auto& rule : told.at("rules")) {
    EXPECT_EQ(rule.contains("text"), !rule.at("fits").get<bool>());
    EXPECT_TRUE(rule.contains("least") || rule.contains("most"));
  }
}

// By hand: the rack stands from 20 to 32 off the rail, half of 12 is 6; a pinion 12 wide is on it
// by 6 from 14 to 26.
TEST(ShelfCheck, APinionBesideItsRackIsToldWithItsFigures) {
  for (const double offset : {60.0, 32.0}) {
    const GateSpec spec = specToCheck(R"({"motor": {"pinion_offset_mm": )" + shown(offset) + "}}");
    const ShelfCheck check = checkShelf(spec);
    const JudgedRule& rule = ruleOf(check, "/hardware/motor/pinion_offset_mm");
    EXPECT_FALSE(rule.fits);
    EXPECT_NEAR(rule.least, 14, 1e-9);
    EXPECT_NEAR(rule.most, 26, 1e-9);
    EXPECT_NE(rule.why.find("from 20 mm to 32 mm"), std::string::npos) << rule.why;
    EXPECT_NE(rule.why.find("0 mm of its width"), std::string::npos) << rule.why;
  }
}

// A groove goes by its own row: a bar of 20 lies in none with a radius of 9.
TEST(ShelfCheck, GroovesAreJudgedByTheirOwnRadius) {
  const ShelfCheck check = checkShelf(specToCheck(R"({"wheel": {"groove_radius_mm": 9},
      "pulley": {"groove_radius_mm": 1.4, "throat_deg": 90, "thickness_mm": 8}})"));
  EXPECT_FALSE(ruleOf(check, "/hardware/wheel/groove_radius_mm").fits);
  EXPECT_FALSE(ruleOf(check, "/hardware/pulley/groove_radius_mm").fits) << "a rope of 3";
  // By hand: rim 3.5 over the rope's middle, groove 1.4 deep under flanks of 45 degrees: half of
  // it is 1.4 cos 45 + (3.5 + 1.5 - 1.4 + 1.4 sin 45) = 5.580.
  const JudgedRule& rims = ruleOf(check, "/hardware/pulley/thickness_mm");
  EXPECT_FALSE(rims.fits);
  EXPECT_NEAR(rims.least, 2 * 5.5799 + 0.2, 1e-3);
}

// 1.75 is told as 1.75, and no range begins above the size itself.
TEST(ShelfCheck, NoRangeLeavesItsOwnSizeOut) {
  const ShelfCheck check = checkShelfOnGate(specToCheck("\"medium\""));
  for (const SizeRange& range : check.ranges) {
    EXPECT_LE(range.least, range.value) << range.row->pointer;
    EXPECT_GE(range.most, range.value) << range.row->pointer;
  }
  EXPECT_EQ(shelfCheckText(check, {"medium", "gate.json", {}, {}}).find(" 1.8 mm"),
            std::string::npos);
}

// Refusals name the figure that would do. By hand: corners of 6 walls are 2.0 x 6 outside (EN
// 10219-2), 0.5 off them and half of a hole of 12.4: 18.7. With walls of 4, 14.7, 15 do.
TEST(ShelfCheck, TooThickARailIsToldWithTheAxleThatWouldDo) {
  const GateSpec spec = specToCheck("\"medium\"", {{"/gate/bottom_rail", "RHS 100x50x6"}});
  std::string text;
  for (const LayoutProblem& problem : layOut(spec).problems) {
    text += problem.text + '\n';
  }
  EXPECT_NE(text.find("an axle at least 18.7 mm up"), std::string::npos) << text;
  EXPECT_NE(text.find("a wall of at most 4 mm"), std::string::npos) << text;
}

// M4 is thinner than the fasteners' table: its root is not nothing. ISO 261: 0.7 pitch, DIN 13:
// 4 - 1.22687 x 0.7 = 3.141; judged with less, never with more.
TEST(ShelfCheck, AThinThreadHasARoot) {
  const GateSpec spec = specToCheck(R"({"terminal": {"thread_mm": 4}})");
  std::string text;
  for (const LayoutProblem& problem : layOut(spec).problems) {
    text += problem.text + '\n';
  }
  EXPECT_NE(text.find("M4, which has a root of 3.02 mm where 5 mm are needed: at least 8 mm"),
            std::string::npos)
      << text;
}

}  // namespace
}  // namespace leafstack
