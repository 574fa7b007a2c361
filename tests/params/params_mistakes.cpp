// Mistakes that people make in a gate file, and the answer each gets: it has to name what is wrong
// and what to write, and nothing else may be complained of.
#include <gtest/gtest.h>

#include <array>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "params/key_words.h"
#include "params/meant_keys.h"
#include "params/read_gate.h"
#include "params/reading/text.h"
#include "params/reading/units.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

struct Mistake {
  const char* text;
  std::vector<const char*> says;  ///< one a problem, in order
};

const std::vector<Mistake>& mistakes() {
  static const std::vector<Mistake> kAll = {
      // Units left out, or another than the key's.
      {R"({"site": {"opening_mm": 5.6}})",
       {"if that was in m, write 5600; if in ft, write 1706.88"}},
      {R"({"site": {"opening_mm": 560}})",
       {"if that was in cm, write 5600; if in in, write 14224"}},
      {R"({"site": {"opening_mm": 18}})",
       {"if that was in m, write 18000; if in ft, write 5486.4"}},
      {R"({"site": {"opening_mm": 56000}})", {"the nearest allowed value is 20000"}},
      {R"({"site": {"opening_mm": "5600"}})", {"write 5600 without quotes for mm, or the unit"}},
      {R"({"site": {"opening_mm": "6 yd"}})", {"units are mm, cm, m, in and ft"}},
      {R"({"site": {"opening_mm": "six metres"}})", {"\"six metres\" is not a number"}},
      {R"({"site": {"opening_mm": "56 m"}})", {"56000 mm, is too large"}},
      {R"({"site": {"opening_mm": "5 m 60"}})", {"has no unit at its end"}},
      {R"({"site": {"opening_mm": "4 in 18 ft"}})", {"write the larger unit first"}},
      {R"({"site": {"opening_mm": 6000, "grade": 5}})", {"if that was in %, write 0.05"}},
      {R"({"site": {"opening_mm": 6000, "grade": "5"}})",
       {"write the unit behind it: \"5 %\", \"5 mm/m\" or \"5 deg\"; one in twenty"}},
      {R"({"site": {"opening_mm": 6000, "grade": "20:1"}})", {"; write the rise first: \"1:20\""}},
      {R"({"site": {"opening_mm": 6000, "grade": "5 \u00bf"}})", {"known here: \"\u00bf\""}},
      // tan 5 degrees = 0.087489
      {R"({"site": {"opening_mm": 6000, "grade": 5}})",
       {"in mm/m, write 0.005; if in deg, write 0.087489"}},
      {R"({"site": {"opening_mm": "5.600 mm"}})",
       {"if its point stands between thousands, write 5600"}},
      {R"({"site": {"opening_mm": 6000, "room_mm": 3.2}})",
       {"if that was in m, write 3200; if in ft, write 975.36; if it is mm, write \"3.2 mm\""}},
      {R"({"site": {"opening_mm": 6000, "room_mm": 320}})", {"if that was in cm, write 3200"}},
      // 5 ft and 600 in are 660 in; 19 ft and 15 in are 243 in.
      {R"({"site": {"opening_mm": "5'600"}})",
       {"; write \"5600 mm\" if ' stands between "
        "thousands, or \"660 in\" if it means feet"}},
      {R"({"site": {"opening_mm": 5'600}})", {"write \"5600 mm\" if ' stands between thousands"}},
      {R"({"site": {"opening_mm": "5'600 mm"}})",
       {"; write \"5600 mm\" if ' stands between thousands"}},
      {R"({"site": {"opening_mm": "19' 15\""}})", {"write \"243 in\" if that is meant"}},
      {R"({"site": {"opening_mm": 6000, "grade": "30 %"}})", {"0.3 mm/mm, is not possible"}},
      {R"({"site": {"opening_mm": 6000}, "drive": {"speed_mm_s": 0.16}})",
       {"if that was in m/s, write 160"}},
      {R"({"site": {"opening_mm": 6000}, "checks": {"wind_speed_m_s": 100}})",
       {"if that was in km/h, write 27.777778; if in mph, write 44.704"}},
      {R"({"site": {"opening_mm": 6000}, "drive": {"speed_mm_s": "160"}})",
       {"write 160 without quotes for mm/s, or the unit behind it: mm/s, m/s or m/min"}},
      {R"({"site": {"opening_mm": 6000}, "drive": {"speed_mm_s": "0.16 knots"}})",
       {"units are mm/s, m/s and m/min"}},
      {R"({"site": {"opening_mm": 6000}, "checks": {"wind_Pa": "0.5 bar"}})",
       {"units are Pa, kPa, kN/m2 and N/m2"}},
      {R"({"site": {"opening_mm": 6000}, "checks": {"wind_Pa": "9 kN/m2"}})", {"9000"}},
      // Commas.
      {R"({"site": {"opening_mm": 5600,5}})", {"5600,5 is not a JSON number"}},
      {R"({"site": {"opening_mm": 5,600}})", {"write 5.600 or 5600, whichever is meant"}},
      {R"({"site": {"opening_mm": "5,600 m"}})", {"two ways: 5.600 or 5600"}},
      {R"({"site": {"opening_mm": "1.234,5 mm"}})", {"more than one point or comma"}},
      {R"({"site": {"opening_mm": 5.600,5}})",
       {"has a point and a comma, and can be read in two ways; write 5600.5 or 5.6005"}},
      {R"({"site": {"opening_mm": 5,6 "room_mm": 3000}, "gate": {"panels": 9}})",
       {"5,6 is not a JSON number: decimals take a point, thousands nothing; write 5.6",
        "is a comma missing?", "9 is too large"}},
      {R"({"site": {"opening_mm": 6000,}})", {"one too many"}},
      {R"({"site": {"opening_mm": 6000} "gate": {"panels": 2}})", {"is a comma missing?"}},
      {R"({"site": {"opening_mm": 6000; "opens": "left"}})", {"is a comma missing?"}},
      // Units without quotes, feet and inches.
      {R"({"site": {"opening_mm": 5.6 m}})", {"write it as \"5.6 m\""}},
      {R"({"site": {"opening_mm": 5600mm}})", {"write it as \"5600mm\""}},
      {R"({"site": {"opening_mm": 18' 4"}})", {"write it as \"18' 4\\\"\""}},
      {R"({"site": {"opening_mm": "18' 4""}})", {"an inch mark in a text is written \\\""}},
      {R"({"site": {"opening_mm": 6000, "grade": 1:20}})", {"write it as \"1:20\""}},
      {R"({"site": {"opening_mm": 6000, "grade": 5 %}})", {"write it as \"5 %\""}},
      // Keys.
      {R"({"gate": {"width_mm": 6000}, "site": {"opening_mm": 6000}})",
       {"that is /site/opening_mm"}},
      {R"({"opening_mm": 6000, "site": {"opening_mm": 6000}})", {"belongs to /site"}},
      {R"({"opening": 6000, "site": {"opening_mm": 6000}})", {"that is /site/opening_mm"}},
      {R"({"site": {"opening_mm": 6000, "room": 3000}})", {"did you mean \"room_mm\"?"}},
      {R"({"site": {"opening_mm": 6000, "slope": 0.05}})", {"that is /site/grade"}},
      {R"({"site": {"opening_mm": 6000, "direction": "left"}})", {"that is /site/opens"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"leaves": 2}})", {"that is /gate/panels"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"Height": 1800}})",
       {"did you mean \"height_mm\"?"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"infill": {"spacing": 50}}})",
       {"that is /gate/infill/gap_mm"}},
      {R"({"site": {"opening_mm": 6000}, "job": {"customer": "Ada"}})", {"that is /job/client"}},
      {R"({"site": {"opening_mm": 6000}, "cables": {"diameter_mm": 4}})", {"that is /ropes"}},
      {R"({"site": {"opening_mm": 6000, "lenght_mm": 6000}})", {"that is /site/opening_mm"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"hight": 1800}})",
       {"did you mean \"height_mm\"?"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"colour": "green"}})",
       {"a colour is no input; /shop/finish"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"weight_kg": 200}})",
       {"it follows from the sections and the infill"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"style": "modern"}})", {"a style is no input"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"gap": 90}})", {"that is /gate/infill/gap_mm"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"tube": "SHS 50x50x3"}})",
       {"that is /gate/bottom_rail"}},
      {R"({"site": {"opening_mm": 6000}, "drive": {"power_W": 300}})",
       {"power is no input: it follows from /drive/motor/force_N"}},
      {R"({"site": {"opening_mm": 6000}, "wheels": 2})", {"that is /hardware/wheel"}},
      {R"({"site": {"opening_mm": 6000}, "job": {"name": "Yard"}})", {"that is /job/title"}},
      // Words where groups stand, and the other way round.
      {R"({"site": {"opening_mm": 6000}, "gate": {"infill": "sheet"}})",
       {"write \"infill\": {\"kind\": \"sheet\"}"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"cladding": "board"}})",
       {"write \"cladding\": {\"kind\": \"boards\"}"}},
      {R"({"site": {"opening_mm": 6000}, "guides": "overhead"})",
       {"write \"guides\": {\"mount\": \"overhead\"}"}},
      {R"({"site": 6000})", {"write it as \"site\": {\"opening_mm\": ...}"}},
      {R"({"site": {"opening_mm": {"value": 6000}}})", {"an object is not a number"}},
      {R"({"site": {"opening_mm": 6000, "room_mm": "Auto"}})", {"did you mean \"auto\"?"}},
      {R"({"site": {"opening_mm": 6000, "opens": "Left"}})", {"did you mean \"left\"?"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"panels": "two"}})",
       {"is not a number or \"auto\""}},
      // Quotes and comments.
      {R"({'site': {'opening_mm': 560}})",
       {"expected a key in double quotes", "expected a key in double quotes", "560 is too small"}},
      {R"({site: {opening_mm: 6000}})", {"found \"site\"", "found \"opening_mm\""}},
      {R"({"site": {"opening_mm": 6000, "opens": 'up'}})",
       {"not single ones", "\"up\" is not one"}},
      {"{\"site\": {\"opening_mm\": 6000,\n \"opens\": \"left\n}}",
       {"no closing quote on its line"}},
      {"{\"site\": {\"opening_mm\": 6000} # clear\n}", {"comments begin with //"}},
      {R"({"site": {"opening_mm": 6000}} /* never ends)", {"close it with */"}},
      {"# my gate\n{\"site\": {\"opening_mm\": 6000}}", {"comments begin with //"}},
      {"{\u201csite\u201d: {\u201copening_mm\u201d: 60}}",
       {"typographic quotes stand here", "60 is too small"}},
      {"opening_mm: 5600", {"a gate file begins with {"}},
      {R"("site": {"opening_mm": 5600})", {"a gate file begins with {: it is missing"}},
      {R"({"site": {"opening_mm": 60}, "drive": ["motor": "standard"]})",
       {"60 is too small", "write braces, { and }, around keys"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"return": "true"}})",
       {"write true without quotes"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"return": "yes"}})",
       {"write true without quotes"}},
      {R"({"site": {"opening_mm" = 6000}})", {"expected \":\" after the key"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"return": yes}})", {"write true"}},
      {R"({"site": {"opening_mm": 6000}, "gate": {"panels": }})", {"a value is missing"}},
  };
  return kAll;
}

TEST(Mistakes, EachGetsTheAnswerThatHelpsAndNoOther) {
  EXPECT_GE(mistakes().size(), 40U);
  for (const Mistake& mistake : mistakes()) {
    const ReadResult result = readGate(mistake.text, "gate.json");
    EXPECT_FALSE(result.gate) << mistake.text;
    std::string all;
    for (const Diagnostic& problem : result.problems) {
      all += toString(problem) + "\n";
      EXPECT_GT(problem.line, 0) << mistake.text;
    }
    ASSERT_EQ(result.problems.size(), mistake.says.size()) << mistake.text << "\n" << all;
    for (std::size_t i = 0; i < mistake.says.size(); ++i) {
      EXPECT_NE(toString(result.problems[i]).find(mistake.says[i]), std::string::npos)
          << mistake.text << "\n"
          << all << "lacks " << mistake.says[i];
    }
  }
}

/// Values by hand: an inch is 25.4 mm, a foot 12 of them.
TEST(Units, LengthsAreWhatTheySay) {
  const std::pair<const char*, double> kLengths[] = {{"5.6 m", 5600},
                                                     {"560 cm", 5600},
                                                     {"5600mm", 5600},
                                                     {"18' 4\"", 5588},
                                                     {"18 ft 4 in", 5588},
                                                     {"220 in", 5588},
                                                     {"19' 8\"", 5994.4},
                                                     {"18'4", 5588},
                                                     {"18'-4\"", 5588},
                                                     {"18' 4 1/2\"", 5600.7},
                                                     {"1/2\"", 12.7},
                                                     {"6 1/4 in", 158.75},
                                                     {"5,6 m", 5600},
                                                     {"6 000 mm", 6000},
                                                     {"-12 mm", -12},
                                                     {"1 m 20 cm", 1200},
                                                     {"6 Metres", 6000},
                                                     {"18\u2032 4\u2033", 5588},
                                                     {"6\u00A0m", 6000},
                                                     {"4\u00BD in", 114.3},
                                                     {".5 m", 500},
                                                     {"2 dm", 200},
                                                     {"10 ft", 3048},
                                                     {"18'' ", 457.2},
                                                     {"18' 11 7/8\"", 5788.025}};
  for (const auto& [text, mm] : kLengths) {
    const TypedValue read = typedLength_mm(text);
    ASSERT_TRUE(read.value) << text << ' ' << read.fault;
    EXPECT_DOUBLE_EQ(*read.value, mm) << text;
  }
  for (const char* text :
       {"", " ", "m", "6", "6 yd", "5 m 60", "6,000 mm", "1.2.3 m", "4 in 2 ft", "1/0 in", "6 m m",
        "--6 m", "6 m!", "5'600", "5'600 mm", "19' 15\"", "18' 12\"", "5 ft 20 cm"}) {
    const TypedValue read = typedLength_mm(text);
    EXPECT_FALSE(read.value) << text;
    EXPECT_FALSE(read.fault.empty()) << text;
  }
}

TEST(Units, GradesAreWhatTheySay) {
  const std::pair<const char*, double> kGrades[] = {
      {"5 %", 0.05},       {"-5%", -0.05},     {"1:20", 0.05},    {"1 in 20", 0.05},
      {"1/20", 0.05},      {"2,5 %", 0.025},   {"50 mm/m", 0.05}, {"-1:40", -0.025},
      {"5 percent", 0.05}, {"5 \u2030", 0.005}};
  for (const auto& [text, grade] : kGrades) {
    const TypedValue read = typedGrade(text);
    ASSERT_TRUE(read.value) << text << ' ' << read.fault;
    EXPECT_DOUBLE_EQ(*read.value, grade) << text;
  }
  EXPECT_NEAR(typedGrade("3 deg").value.value(), 0.052408, 1e-6);  // tan 3 degrees
  for (const char* text : {"5", "1:", "1:0", "20:1", "steep", "5 % %", "1:20:3", "5 mm"}) {
    EXPECT_FALSE(typedGrade(text).value) << text;
  }
}

TEST(TypedQuantities, InTheUnitsPeopleHave) {
  const std::tuple<const char*, const char*, double> kTyped[] = {
      {"Pa", "0.9 kN/m2", 900},  {"Pa", "0,9 kN/m\u00B2", 900}, {"Pa", "900 N/m2", 900},
      {"Pa", "0.9kPa", 900},     {"Pa", "900 pa", 900},         {"kPa", "150 kN/m2", 150},
      {"m/s", "90 km/h", 25},    {"m/s", "28 m/s", 28},         {"N", "1.2 kN", 1200},
      {"mm/s", "0.16 m/s", 160}, {"mm/s", "9.6 m/min", 160},    {"kg", "10 lb", 4.535924},
      {"N/mm2", "25 MPa", 25},   {"mm/s2", "0.2 m/s2", 200}};
  for (const auto& [unit, text, value] : kTyped) {
    const auto read = typedIn(unit, text);
    ASSERT_TRUE(read && read->value) << text;
    EXPECT_NEAR(*read->value, value, 1e-9) << text;
    EXPECT_TRUE(takesUnits(unit));
  }
  for (const char* const text : {"0.9", "0.9 bar", "kN/m2", "0.9 kN/m2 more", ""}) {
    EXPECT_FALSE(typedIn("Pa", text)->value) << text;
  }
  EXPECT_FALSE(typedIn("deg", "3 deg"));  // a number alone
}

TEST(Units, AreReadWhereverALengthGoesAndToldInTheResolvedGate) {
  const ReadResult read = readGate(
      "\xEF\xBB\xBF// by hand\n{\"$schema\": \"gate-schema.json\", /* all of it */\n"
      R"("site": {"opening_mm": "19' 8\"", "grade": "1:20", "room_mm": "3.2 m"},
          "gate": {"panels": 3}, "ropes": {"heights_mm": ["36 mm", 66], "bracket_inset_mm": "-12 mm"}})",
      "gate.json", std::vector<Override>{{"/gate/height_mm", "5' 11\""}});
  ASSERT_TRUE(read.gate) << toString(read.problems.front());
  const GateSpec& spec = read.gate->spec;
  EXPECT_DOUBLE_EQ(spec.site.opening_mm, 5994.4);
  EXPECT_DOUBLE_EQ(spec.site.grade, 0.05);
  EXPECT_DOUBLE_EQ(spec.site.room_mm.value(), 3200);
  EXPECT_DOUBLE_EQ(spec.gate.height_mm, 71 * 25.4);
  EXPECT_EQ(spec.ropes.heights_mm, (std::vector<double>{36, 66}));
  EXPECT_DOUBLE_EQ(spec.ropes.bracket_inset_mm, -12);
  const auto typed = [&](const char* pointer) {
    for (const ResolvedValue& value : read.gate->values) {
      if (value.pointer == pointer) {
        return value.typed;
      }
    }
    return std::string("no such key");
  };
  EXPECT_EQ(typed("/site/opening_mm"), "19' 8\"");
  EXPECT_EQ(typed("/site/grade"), "1:20");
  EXPECT_EQ(typed("/gate/height_mm"), "5' 11\"");
  EXPECT_EQ(typed("/ropes/heights_mm"), "[36 mm, 66]");
  EXPECT_EQ(typed("/site/fence_post_mm"), "");
}

/// One syntax error does not hide the next, nor a bad value after it; places are the file's.
TEST(Syntax, ErrorsAreToldUpToTheLast) {
  const ReadResult result = readGate(
      "{\"site\": {\"opening_mm\": 60,\n  \"fence_height_mm\": 1,8,\n  opens: 'left'},\n"
      "  \"gate\": {\"panels\": 2 \"height_mm\": 100,},\n  \"drive\": {\"motor\": standard}}",
      "gate.json");
  std::vector<std::pair<int, int>> places;
  for (const Diagnostic& problem : result.problems) {
    places.emplace_back(problem.line, problem.column);
  }
  EXPECT_EQ(places, (std::vector<std::pair<int, int>>{
                        {1, 25}, {2, 22}, {3, 3}, {3, 10}, {4, 24}, {4, 37}, {4, 40}, {5, 22}}));
}

TEST(KeyWords, EveryChoiceHasItsTextAndEveryValueAnExample) {
  std::set<std::string> titles;
  for (const Parameter& parameter : parameterTable()) {
    EXPECT_EQ(choiceTexts(parameter).size(),
              parameter.kind == Kind::kChoice ? parameter.choices.size() : 0U)
        << parameter.pointer;
    EXPECT_FALSE(titleOf(parameter).empty());
    EXPECT_EQ(titleOf(parameter).find('_'), std::string::npos) << titleOf(parameter);
    if (parameter.kind == Kind::kGroup || parameter.kind == Kind::kMotorSet) {
      continue;
    }
    EXPECT_FALSE(examplesOf(parameter).empty()) << parameter.pointer;
    for (const std::string& example : examplesOf(parameter)) {
      // It is JSON, and the key takes it. What goes with it in the gate is another matter.
      const std::string gate = exampleGate(parameter, example);
      ASSERT_TRUE(nlohmann::json::accept(gate)) << gate;
      for (const Diagnostic& problem : readGate(gate, "example.json").problems) {
        EXPECT_TRUE(problem.pointer != parameter.pointer ||
                    problem.message.find(" is not ") == std::string::npos)
            << gate << toString(problem);
      }
    }
  }
}

TEST(MeantKeys, WordsAreNoKeysOfTheirGroupAndTheirKeysAreThere) {
  for (const auto& [group, word, pointer] :
       std::vector<std::array<const char*, 3>>{{"/gate", "width_mm", "/site/opening_mm"},
                                               {"", "Width", "/site/opening_mm"},
                                               {"/site", "customer", "/job/client"},
                                               {"/gate", "fence-height", "/site/fence_height_mm"},
                                               {"/gate/infill", "bars", "/gate/infill/kind"}}) {
    const Parameter* meant = meantBy(group, word);
    ASSERT_NE(meant, nullptr) << word;
    EXPECT_STREQ(meant->pointer, pointer) << word;
  }
  EXPECT_EQ(meantBy("/gate/infill", "width"), nullptr) << "of a picket, who knows";
  EXPECT_EQ(meantBy("/gate", "height"), nullptr) << "it lacks its unit only";
  EXPECT_EQ(meantBy("/hardware/wheel", "width"), nullptr);
}

}  // namespace
}  // namespace leafstack
