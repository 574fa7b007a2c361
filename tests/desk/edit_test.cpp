// Edits of a gate file's text: what was written stays as it was, but for the one value.
#include "exporters/desk/document/edit.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <random>
#include <string>
#include <vector>

#include "params/read_gate.h"

namespace leafstack::desk {
namespace {

using Json = nlohmann::ordered_json;

Json read(const std::string& text) {
  return Json::parse(text, nullptr, /*allow_exceptions=*/true, /*ignore_comments=*/true);
}

std::string set(const std::string& text, const std::string& pointer, const std::string& typed) {
  const Edit one{pointer, typed};
  return edited(text, {&one, 1});
}

std::string unset(const std::string& text, const std::string& pointer) {
  const Edit one{pointer, std::nullopt};
  return edited(text, {&one, 1});
}

const std::string kText =
    "{\n"
    "  // measured on Monday\n"
    "  \"site\": {\n"
    "    \"opening_mm\": 5600, // between the posts\n"
    "    \"room_mm\": 3250\n"
    "  },\n"
    "  \"gate\": { \"panels\": 2 }\n"
    "}\n";

TEST(DeskEdit, ReplacesTheValueAlone) {
  std::string expected = kText;
  expected.replace(expected.find("5600"), 4, "5800");
  EXPECT_EQ(set(kText, "/site/opening_mm", "5800"), expected);
}

TEST(DeskEdit, InsertsOnALineOfItsOwn) {
  std::string expected = kText;
  expected.replace(expected.find("3250"), 4, "3250,\n    \"grade\": \"1:50\"");
  EXPECT_EQ(set(kText, "/site/grade", "1:50"), expected);
}

TEST(DeskEdit, InsertsWhereThereIsOneLine) {
  std::string expected = kText;
  expected.replace(expected.find("\"panels\": 2"), 11, "\"panels\": 2, \"height_mm\": 1700");
  EXPECT_EQ(set(kText, "/gate/height_mm", "1700"), expected);
}

TEST(DeskEdit, TakingBackGivesWhatWasThere) {
  for (const char* pointer : {"/site/grade", "/gate/height_mm", "/checks/wind_Pa"}) {
    EXPECT_EQ(unset(set(kText, pointer, "1"), pointer), kText) << pointer;
  }
}

TEST(DeskEdit, AGroupThatIsEmptiedGoes) {
  const Json json = read(unset(kText, "/gate/panels"));
  EXPECT_FALSE(json.contains("gate"));
  EXPECT_EQ(json["site"]["opening_mm"], 5600);
}

TEST(DeskEdit, NumbersAsPeopleTypeThem) {
  EXPECT_EQ(jsonOf("/site/opening_mm", "5600"), "5600");
  EXPECT_EQ(jsonOf("/site/opening_mm", " 5600,5 "), "5600.5");
  EXPECT_EQ(jsonOf("/site/opening_mm", "5,6 m"), "\"5,6 m\"");
  EXPECT_EQ(jsonOf("/site/opening_mm", "5.6 m"), "\"5.6 m\"");
  EXPECT_EQ(jsonOf("/site/setback_mm", "auto"), "\"auto\"");
  EXPECT_EQ(jsonOf("/gate/panels", "2"), "2");
  EXPECT_EQ(jsonOf("/gate/return", "yes"), "true");
  EXPECT_EQ(jsonOf("/job/number", "0815"), "\"0815\"") << "no number, but a name";
  EXPECT_EQ(jsonOf("/site/track_survey_mm", "0 0\n500 -12,5"), "[[0,0],[500,-12.5]]");
  // A comma before three digits may stand for thousands: left to the reader, which asks.
  EXPECT_EQ(jsonOf("/site/opening_mm", "5,600"), "\"5,600\"");
}

TEST(DeskEdit, NoGateFileIsRefused) {
  for (const char* text : {"", "[]", "{", "{\"a\": 1, \"a\": 2}", "nothing"}) {
    EXPECT_THROW(set(text, "/site/opening_mm", "1"), std::invalid_argument) << text;
  }
  EXPECT_THROW(set("{}", "", "1"), std::invalid_argument);
}

/// Random edits of texts with comments, against the same edits of the parsed JSON.
TEST(DeskEdit, ReadsAsTheOldTextWithThatOneChange) {
  const std::vector<std::string> pointers = {
      "/site/opening_mm", "/site/room_mm",       "/site/grade",
      "/gate/panels",     "/gate/infill/gap_mm", "/gate/height_mm",
      "/checks/wind_Pa",  "/ropes/diameter_mm",  "/gate/cladding/width_mm"};
  std::mt19937 random(20261130);
  for (const std::string& start :
       {kText, starterGate(), std::string("{}"), std::string("\xEF\xBB\xBF{ /* none */ }"),
        std::string("{\r\n  \"site\": {\r\n    \"room_mm\": 1 // a\r\n  }\r\n}\r\n")}) {
    std::string text = start;
    for (int step = 0; step < 120; ++step) {
      const std::string& pointer = pointers[random() % pointers.size()];
      const Json::json_pointer place(pointer);
      Json expected = read(text);
      if (random() % 3 == 0) {
        text = unset(text, pointer);
        Json::json_pointer at = place;
        while (!at.empty() && expected.contains(at) && (at == place || expected[at].empty())) {
          const std::string key = at.back();
          expected[at.parent_pointer()].erase(key);
          at = at.parent_pointer();
        }
      } else {
        const int value = static_cast<int>(random() % 9000);
        text = set(text, pointer, std::to_string(value));
        expected[place] = value;
      }
      ASSERT_TRUE(nlohmann::json(read(text)) == nlohmann::json(expected)) << pointer << "\n"
                                                                          << text;
    }
  }
}

}  // namespace
}  // namespace leafstack::desk
