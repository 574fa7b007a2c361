// No output calls a gate that is not ready by a green word or colour.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>

#include "tests/support/run_program.h"
#include "tests/support/text_count.h"

namespace leafstack {
namespace {

using Json = nlohmann::json;

class ReadyWords : public InAFolder {
 protected:
  /// Sheet, high, in a storm: nothing meets, it fits, and it does not stand.
  void SetUp() override {
    InAFolder::SetUp();
    write("bad.json", R"({"site": {"opening_mm": 5000}, "checks": {"wind_Pa": 4000},
                          "gate": {"panels": 2, "height_mm": 2200,
                                   "infill": {"kind": "sheet"}}})");
  }
};

/// Words that say that all is well, as every output has them.
void expectNoGreenWord(const std::string& text, const std::string& where) {
  for (const char* word : {"\\bREADY: ", "\\bCLEAR\\b", "\\bready to make\\b", "\\bit holds\\b",
                           "\\bstays on its track\\b", "class=\"ok\"", "class=\"verdict ready\"",
                           "\\bOK\\b", "\\bpasses\\b"}) {
    const std::regex pattern(word);
    for (auto at = std::sregex_iterator(text.begin(), text.end(), pattern);
         at != std::sregex_iterator(); ++at) {
      EXPECT_TRUE(at->prefix().str().ends_with("NOT ")) << word << " in " << where;
    }
  }
}

TEST_F(ReadyWords, CheckSaysNoneOfThem) {
  const ProgramRun text = run("check bad.json");
  EXPECT_EQ(text.code, 0) << text.err;
  EXPECT_TRUE(text.out.starts_with("NOT READY: ")) << text.out.substr(0, 200);
  expectNoGreenWord(text.out, "check");
  const Json report = Json::parse(run("check bad.json --json").out);
  EXPECT_EQ(report.at("verdict").at("ready"), false);
  EXPECT_EQ(report.at("verdict").at("strength"), "overloaded");
  EXPECT_FALSE(report.at("verdict").at("reasons").empty());
  // The clash check's own answer stays what it is.
  EXPECT_EQ(report.at("verdict").at("clash"), "clear");
}

TEST_F(ReadyWords, PagesAndDrawingsSayNoneOfThem) {
  const ProgramRun built = run("build bad.json -o out --only report,review,drawings");
  EXPECT_EQ(built.code, 0) << built.err;
  EXPECT_TRUE(built.out.starts_with("NOT READY: ")) << built.out;
  expectNoGreenWord(built.out, "build");
  int sheets = 0;
  for (const auto& [name, text] : files("out")) {
    const bool is_page = name == "summary.html" || name == "review.html";
    const bool is_sheet = name.ends_with(".svg") && name.starts_with("drawings/");
    sheets += is_sheet ? 1 : 0;
    if (is_page || is_sheet) {
      EXPECT_NE(text.find("NOT READY"), std::string::npos) << name;
      // The comparison in the summary may have others that are ready, and says so in words.
      expectNoGreenWord(text.substr(0, text.find("<h2>Which gate fits")), name);
    }
  }
  EXPECT_GT(sheets, 3);
}

TEST_F(ReadyWords, CompareRecommendsNothingThatIsNotReady) {
  const ProgramRun text = run("compare bad.json");
  EXPECT_EQ(text.code, 0) << text.err;
  EXPECT_NE(text.out.find("NOT READY"), std::string::npos);
  EXPECT_NE(text.out.find("Nothing that fits is ready"), std::string::npos) << text.out;
  EXPECT_EQ(text.out.find("Take "), std::string::npos);
  const std::string before_legend = text.out.substr(0, text.out.find("mm; "));
  expectNoGreenWord(before_legend, "compare");
  EXPECT_FALSE(std::regex_search(text.out, std::regex("\n *[0-9-]+ \\+ "))) << text.out;
  const Json json = Json::parse(run("compare bad.json --json").out);
  EXPECT_TRUE(json.at("recommended").is_null());
  for (const Json& one : json.at("arrangements")) {
    if (one.at("fits") == true) {
      EXPECT_EQ(one.at("verdict").at("ready"), false);
      EXPECT_FALSE(one.at("verdict").at("reasons").empty());
    }
  }
}

// What the words are looked for in: a gate that is ready has them.
TEST_F(ReadyWords, AGateThatIsReadyHasThem) {
  write("good.json", R"({"site": {"opening_mm": 6000}})");
  const ProgramRun text = run("check good.json");
  EXPECT_TRUE(text.out.starts_with("READY: ")) << text.out.substr(0, 200);
  EXPECT_NE(text.out.find("it holds"), std::string::npos);
  const ProgramRun compared = run("compare good.json");
  EXPECT_NE(compared.out.find("Take 2 panels"), std::string::npos) << compared.out;
  EXPECT_TRUE(std::regex_search(compared.out, std::regex("\n *1(-[0-9]+)? \\+ "))) << compared.out;
}

}  // namespace
}  // namespace leafstack
