// A shelf judged rule by rule, by itself and on a gate.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "exporters/lists/shelf_check_text.h"
#include "generator/layout/layout.h"
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
  const JudgedRule& rule = ruleOf(check, "/hardware/motor/pinion_up_mm");
  EXPECT_TRUE(rule.is_of_gate);
  EXPECT_EQ(rule.figure_name, "packing under the motor");
  EXPECT_EQ(rule.least, 0);
}

TEST(ShelfCheck, TheRoomGivenIsARuleOfTheGate) {
  const GateSpec spec = specToCheck("\"medium\"", {{"/site/room_mm", "100"}});
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
    *std::get<double*>(range.row->slot(changed)) = value;
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

}  // namespace
}  // namespace leafstack
