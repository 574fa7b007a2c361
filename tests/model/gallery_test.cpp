// Every gallery gate, opening to either hand, against the figures its folder expects of it.
//
// The figures in expected.json were worked out by hand; each says how far the program may be off
// and why the figure is what it is. This test knows the program only by its command line.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "tests/support/run_program.h"

namespace leafstack {
namespace {

using nlohmann::json;

ProgramRun runProgram(const std::string& arguments) {
  return outputOf(std::string("'") + LEAFSTACK_BINARY + "' " + arguments);
}

fs::path gallery() {
  return fs::path(LEAFSTACK_SOURCE_DIR) / "gallery";
}

std::vector<std::string> gateNames() {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(gallery())) {
    if (fs::exists(entry.path() / "gate.json")) {
      names.push_back(entry.path().filename().string());
    }
  }
  std::sort(names.begin(), names.end());
  return names;
}

json expectedOf(const std::string& name) {
  return json::parse(bytesIn(gallery() / name / "expected.json"));
}

/// `row` holds "is", "because" and, where the value is a number, "within".
void compare(const json& row, const json& actual, const std::string& what) {
  EXPECT_FALSE(row.at("because").get<std::string>().empty()) << what;
  if (!row.at("is").is_number()) {
    EXPECT_EQ(actual, row.at("is")) << what;
    return;
  }
  ASSERT_TRUE(actual.is_number()) << what << " is " << actual;
  EXPECT_NEAR(actual.get<double>(), row.at("is").get<double>(), row.at("within").get<double>())
      << what << ": " << row.at("because");
}

TEST(Gallery, HoldsThreeGatesOrMore) {
  EXPECT_GE(gateNames().size(), 3u);
}

TEST(Gallery, EveryFolderIsWhole) {
  for (const std::string& name : gateNames()) {
    EXPECT_FALSE(bytesIn(gallery() / name / "README.md").empty()) << name;
    const json expected = expectedOf(name);
    // What no folder may leave out.
    std::set<std::string> given;
    for (const json& row : expected.at("figures")) {
      given.insert(row.at("at").get<std::string>());
    }
    for (const char* pointer :
         {"/clash/verdict", "/layout/room_mm", "/layout/binding", "/layout/drive_travel_mm",
          "/stack/gap_mm", "/layout/panels/0/length_mm", "/layout/panels/0/mass_kg"}) {
      EXPECT_TRUE(given.count(pointer) == 1) << name << " expects nothing of " << pointer;
    }
  }
}

TEST(Gallery, NewPrintsTheGateFile) {
  for (const std::string& name : gateNames()) {
    const ProgramRun outcome = runProgram("new " + name);
    EXPECT_EQ(outcome.code, 0) << name;
    EXPECT_EQ(outcome.out, bytesIn(gallery() / name / "gate.json")) << name;
  }
}

/// What a README has to say of a reason: the words of what fails, and its figures.
std::vector<std::string> wordsFor(const json& reason) {
  const std::string id = reason.at("id"), text = reason.at("text");
  if (id == "motor-weak") {
    return {"motor is too weak"};
  }
  if (id == "unfixed-cladding") {
    return {"held at one end"};
  }
  if (id == "guide-rail-overload") {
    return {"guide rail"};
  }
  if (id == "track-overload") {
    return {"track between its dowels"};
  }
  if (id == "plate-overload") {
    return {"base plate"};
  }
  if (id == "weld-overload") {
    return {"fillet"};
  }
  if (id == "member-overload") {  // "the catch post at 154 % of what it bears"
    const std::size_t at = text.find(" at "), end = text.find(" %");
    return {text.substr(4, at - 4), text.substr(at + 4, end - at - 4) + " %"};
  }
  if (id == "frame-soft") {  // "the frame gives 44.7 mm of 30 allowed"
    const double gives = std::stod(text.substr(text.find("gives ") + 6));
    return {"frame gives " + std::to_string(std::lround(gives)) + text.substr(text.find(" mm of"))};
  }
  return {"no words of a README are known for " + id};
}

std::string inOneLine(std::string text) {
  for (std::size_t at = 0; (at = text.find_first_of(" \n", at)) != std::string::npos; ++at) {
    const std::size_t end = std::min(text.find_first_not_of(" \n", at), text.size());
    text.replace(at, end - at, " ");
  }
  return text;
}

// A gate that is not ready says so in its README, with every reason and its figures; one that is
// ready does not.
TEST(Gallery, ReadmesSayWhatIsNotReadyAndWhy) {
  int unready = 0;
  for (const std::string& name : gateNames()) {
    SCOPED_TRACE(name);
    const std::string gate = (gallery() / name / "gate.json").string();
    const json verdict =
        json::parse(runProgram("check --json --quiet '" + gate + "'").out).at("verdict");
    const std::string readme = inOneLine(bytesIn(gallery() / name / "README.md"));
    EXPECT_EQ(readme.find("NOT READY") == std::string::npos, verdict.at("ready").get<bool>());
    for (const json& reason : verdict.at("reasons")) {
      ++unready;
      for (const std::string& words : wordsFor(reason)) {
        EXPECT_NE(readme.find(words), std::string::npos) << words;
      }
    }
  }
  EXPECT_GT(unready, 0);
}

TEST(Readme, ShowsTheFirstGalleryGate) {
  const std::string readme = bytesIn(fs::path(LEAFSTACK_SOURCE_DIR) / "params/README.md");
  const std::string gate = bytesIn(gallery() / "two-panel-pickets" / "gate.json");
  EXPECT_NE(readme.find("```json\n" + gate + "```\n"), std::string::npos);
}

/// The report of `check --json`. Asked for once; the tests of one gate and hand share it.
const ProgramRun& checked(const std::string& name, const std::string& hand) {
  static std::map<std::string, ProgramRun> outcomes;
  const auto [place, is_new] = outcomes.try_emplace(name + " " + hand);
  if (is_new) {
    place->second = runProgram("check --json --quiet --set /site/opens=" + hand + " '" +
                               (gallery() / name / "gate.json").string() + "'");
  }
  return place->second;
}

class GalleryGate : public testing::TestWithParam<std::tuple<std::string, std::string>> {
 protected:
  void SetUp() override {
    const auto& [name, hand] = GetParam();
    const ProgramRun& outcome = checked(name, hand);
    ASSERT_EQ(outcome.code, 0) << name << " opening to the " << hand;
    report_ = json::parse(outcome.out);
    expected_ = expectedOf(name);
  }

  json report_, expected_;
};

TEST_P(GalleryGate, IsClearAndOpensToTheHandAskedFor) {
  EXPECT_EQ(report_.at("layout").at("opens"), std::get<1>(GetParam()));
  EXPECT_EQ(report_.at("clash").at("verdict"), "clear");
  EXPECT_TRUE(report_.at("clash").at("findings").empty());
  EXPECT_GT(report_.at("clash").at("pairs_checked").get<int>(), 0);
}

TEST_P(GalleryGate, HasTheFiguresExpected) {
  for (const json& row : expected_.at("figures")) {
    const json::json_pointer at(row.at("at").get<std::string>());
    ASSERT_TRUE(report_.contains(at)) << at.to_string();
    compare(row, report_.at(at), at.to_string());
  }
}

TEST_P(GalleryGate, HasThePartsExpected) {
  const json& parts = report_.at("parts");
  for (const json& row : expected_.at("parts")) {
    const auto found = std::find_if(parts.begin(), parts.end(), [&](const json& part) {
      return part.at("mark") == row.at("mark");
    });
    ASSERT_NE(found, parts.end()) << row.at("mark");
    EXPECT_EQ(found->at("name"), row.at("name")) << row.at("mark");
    EXPECT_EQ(found->at("quantity"), row.at("quantity"))
        << row.at("mark") << ": " << row.at("because");
    if (row.contains("length_mm")) {
      EXPECT_NEAR(found->at("length_mm").get<double>(), row.at("length_mm").get<double>(), 0.001)
          << row.at("mark") << ": " << row.at("because");
    }
  }
}

TEST_P(GalleryGate, HasTheNumberOfPartsExpected) {
  int placed = 0;
  for (const json& part : report_.at("parts")) {
    placed += part.at("quantity").get<int>();
  }
  EXPECT_EQ(report_.at("parts").size(), expected_.at("counts").at("distinct").get<std::size_t>());
  EXPECT_EQ(placed, expected_.at("counts").at("placed").get<int>());
}

TEST_P(GalleryGate, HasTheMovingMassExpected) {
  double panels_kg = 0;
  for (const json& panel : report_.at("layout").at("panels")) {
    panels_kg += panel.at("mass_kg").get<double>();
  }
  compare(expected_.at("moving_mass_kg"), panels_kg, "moving mass");

  // The same from the parts: what the panels weigh must be what hangs on them.
  double parts_kg = 0;
  for (const json& part : report_.at("parts")) {
    for (const json& row : part.at("per_panel")) {
      const bool moves = row.at("panel").get<int>() > 0;
      parts_kg += moves ? row.at("quantity").get<int>() * part.at("mass_kg").get<double>() : 0;
    }
  }
  constexpr double kRoundingKg = 1e-3;  // a hundred masses printed to six digits after the point
  EXPECT_NEAR(parts_kg, panels_kg, kRoundingKg);
}

TEST_P(GalleryGate, WarnsOfWhatIsExpected) {
  if (!expected_.contains("warnings")) {
    return;  // this folder leaves them open
  }
  std::vector<std::string> ids;
  for (const json& warning : report_.at("warnings")) {
    ids.push_back(warning.at("id").get<std::string>());
  }
  EXPECT_EQ(ids, expected_.at("warnings").get<std::vector<std::string>>());
}

std::string caseName(const testing::TestParamInfo<GalleryGate::ParamType>& info) {
  std::string name = std::get<0>(info.param) + "_" + std::get<1>(info.param);
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}

INSTANTIATE_TEST_SUITE_P(Both, GalleryGate,
                         testing::Combine(testing::ValuesIn(gateNames()),
                                          testing::Values("right", "left")),
                         caseName);

}  // namespace
}  // namespace leafstack
