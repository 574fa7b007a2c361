// Words for messages, and hollow-section designations.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "params/reading/text.h"
#include "params/spec/section.h"

namespace leafstack {
namespace {

TEST(Text, NumbersAreShort) {
  EXPECT_EQ(formatNumber(6000), "6000");
  EXPECT_EQ(formatNumber(100000), "100000");
  EXPECT_EQ(formatNumber(-12), "-12");
  EXPECT_EQ(formatNumber(-0.0), "0");
  EXPECT_EQ(formatNumber(0.02), "0.02");
  EXPECT_EQ(formatNumber(0.1 + 0.2), "0.30000000000000004");
  EXPECT_EQ(std::stod(formatNumber(1e300)), 1e300);
}

TEST(Text, QuotingKeepsToOneLine) {
  EXPECT_EQ(inQuotes("a\"b\\c\n\t\x01\x7f"), "\"a\\\"b\\\\c\\n\\t\\x01\\x7f\"");
  EXPECT_EQ(oneLine("Tör"), "Tör");
  // Shortening does not cut a character in two: 59 bytes, then one of two bytes.
  EXPECT_EQ(oneLine(std::string(59, 'a') + "ööö"), std::string(59, 'a') + "...");
  EXPECT_EQ(oneLine(std::string(60, 'a')), std::string(60, 'a'));
}

TEST(Text, WhatATerminalWouldObeyIsEscaped) {
  EXPECT_EQ(escaped("out\n\x1b[31m\x7f"), "out\\n\\x1b[31m\\x7f");
  EXPECT_EQ(escaped("\u009B\u202E\u2028\u2066\u200F\uFFFE"),
            "\\u009b\\u202e\\u2028\\u2066\\u200f\\ufffe");
  EXPECT_EQ(escaped("\xFF\xC2"), "\\xff\\xc2") << "no UTF-8";
  EXPECT_EQ(escaped("\U0001FFFF"), "\\U0001ffff");
  EXPECT_EQ(escaped("Tür 门 🚪"), "Tür 门 🚪");
  EXPECT_EQ(inQuotes("\u202E"), "\"\\u202e\"");
}

TEST(Text, NearestNames) {
  const std::vector<std::string> keys = {"height_mm", "heights_mm", "top", "grade_N_mm2",
                                         "rolling_resistance"};
  EXPECT_EQ(nearestName("height", keys), "height_mm");
  EXPECT_EQ(nearestName("heights", keys), "heights_mm");
  EXPECT_EQ(nearestName("heightMm", keys), "height_mm");
  EXPECT_EQ(nearestName("height_cm", keys), "height_mm");
  EXPECT_EQ(nearestName("hieght_mm", keys), "height_mm");
  EXPECT_EQ(nearestName("grade", keys), "grade_N_mm2");
  EXPECT_EQ(nearestName("Rolling-Resistence", keys), "rolling_resistance");
  EXPECT_EQ(nearestName("colour", keys), "");
  EXPECT_EQ(nearestName("", keys), "");
  EXPECT_EQ(nearestName(std::string(100000, 'h'), keys), "");
}

TEST(Text, Lists) {
  const std::vector<std::string> three = {"a", "b", "c"};
  EXPECT_EQ(joined(three, "or"), "a, b or c");
  EXPECT_EQ(joined(std::vector<std::string>{"a"}, "or"), "a");
  EXPECT_EQ(joined(std::vector<std::string>{}, "or"), "");
}

TEST(Section, IsReadTolerantly) {
  const std::vector<std::pair<std::string, std::string>> cases = {
      {"RHS 100x50x3", "RHS 100x50x3"},       {"rhs100X50×3", "RHS 100x50x3"},
      {"  SHS  50 x 50 × 3 ", "SHS 50x50x3"}, {"SHS 50x3", "SHS 50x50x3"},
      {"RHS 50x50x3", "SHS 50x50x3"},         {"Rhs 50x100x2.5", "RHS 50x100x2.5"},
      {"SHS 050x03.0", "SHS 50x50x3"}};
  for (const auto& [given, wanted] : cases) {
    const auto parsed = parseSection(given);
    ASSERT_TRUE(std::holds_alternative<HollowSection>(parsed)) << given;
    EXPECT_EQ(std::get<HollowSection>(parsed).designation, wanted);
  }
  const auto section = std::get<HollowSection>(parseSection("RHS 100x50x3"));
  EXPECT_EQ(section.height_mm, 100);
  EXPECT_EQ(section.depth_mm, 50);
  EXPECT_EQ(section.wall_mm, 3);
}

TEST(Section, NonsenseIsRefused) {
  for (const char* text : {"",
                           "SHS",
                           "RHS 100x3",
                           "SHS 50x50x3x3",
                           "CHS 48.3x3",
                           "SHS 50x50",
                           "x",
                           "SHS 50x50x3mm",
                           "SHS 50,0x3",
                           "SHS nanx3",
                           "SHS infx3",
                           "SHS 1e2x3",
                           "SHS 0x32x3",
                           "SHS 99999x3",
                           "SHS 5 0x3",
                           "SHS 14x14x1",
                           "SHS 201x201x5",
                           "SHS 50x50x0.9",
                           "SHS 200x200x10.5",
                           "RHS 100x14.9x2",
                           "SHS 50x-50x3"}) {
    const auto parsed = parseSection(text);
    ASSERT_TRUE(std::holds_alternative<SectionFault>(parsed)) << text;
    EXPECT_FALSE(std::get<SectionFault>(parsed).message.empty());
  }
}

// EN 10219-2: outer radius 2.0 t up to 6 mm, 2.5 t above (row R1); each side keeps 1 mm of flat.
TEST(Section, CornersMustFitTheSides) {
  EXPECT_EQ(outerCornerRadius_mm(6), 12);
  EXPECT_EQ(outerCornerRadius_mm(8), 20);
  const auto fits = [](const char* text) {
    return std::holds_alternative<HollowSection>(parseSection(text));
  };
  EXPECT_TRUE(fits("SHS 25x25x6"));
  EXPECT_FALSE(fits("SHS 24.9x24.9x6"));
  EXPECT_TRUE(fits("SHS 41x41x8"));
  EXPECT_FALSE(fits("RHS 100x40x8"));
}

TEST(PlaceOf, IsWhereAPointersValueStands) {
  const JsonNode root = parseJson("{\n \"a\": [1,\n   {\"b/c\": 7}]\n}", "x.json").root;
  const TextPlace place = placeOf(root, "/a/1/b~1c");
  EXPECT_EQ(place.line, 3);
  EXPECT_EQ(place.column, 12);
  EXPECT_EQ(placeOf(root, "/a/0").line, 2);
  EXPECT_EQ(placeOf(root, "/a/2").line, 0);
  EXPECT_EQ(placeOf(root, "/d").line, 0);
}

}  // namespace
}  // namespace leafstack
