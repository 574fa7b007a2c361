// The texts of the commands as one reads them: verdict first, short, in plain sentences.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/run_program.h"

namespace leafstack {
namespace {

class CliTexts : public InAFolder {};

/// Of every paragraph and entry, tables left out, without line breaks.
std::vector<std::string> sentences(const std::string& text) {
  std::vector<std::string> out;
  std::string now;
  const auto end = [&] {
    if (!now.empty()) {
      out.push_back(std::exchange(now, ""));
    }
  };
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    const bool is_table =
        line.find("   ") != std::string::npos && line.find_first_not_of(' ') < line.rfind("   ");
    if (line.empty() || line.starts_with("  - ") || is_table) {
      end();
    }
    std::istringstream words(is_table ? "" : line);
    for (std::string word; words >> word;) {
      now += (now.empty() ? "" : " ") + word;
      if (word.back() == '.' || word.back() == ';') {
        end();
      }
    }
  }
  end();
  return out;
}

long heightOf(const std::string& text) {
  return std::count(text.begin(), text.end(), '\n');
}

/// A good site, a tight one, one that clashes, one that is overloaded, and one that is too small:
/// the verdict stands first, all of it is under 40 lines, and no sentence has 30 words or more.
TEST_F(CliTexts, TextsAreShort) {
  struct Site {
    const char *name, *text, *begins;
    int code;
    int quiet_lines = 16;
  };
  const Site sites[] = {
      {"good", R"({"site": {"opening_mm": 6000, "room_mm": 3500}})", "READY: ", 0},
      {"tight", R"({"site": {"opening_mm": 6000}, "checks": {"build_tolerance_mm": 6}})",
       "READY: ", 0},
      {"clash", R"({"site": {"opening_mm": 6000}, "guides": {"packing_mm": 0},
                    "gate": {"cladding": {"kind": "boards", "thickness_mm": 60}}})",
       "NOT READY: ", 5, 18},
      {"many clashes and reasons",
       R"({"site": {"opening_mm": 6000, "setback_mm": 0}, "gate": {"cladding": {"kind": "boards"}},
           "checks": {"build_tolerance_mm": 3}})",
       "NOT READY: ", 5, 50},
      {"near the fence", R"({"site": {"opening_mm": 6000, "setback_mm": 12}})", "NOT READY: ", 0,
       28},
      {"overloaded", R"({"site": {"opening_mm": 6000}, "checks": {"wind_speed_m_s": 45}})",
       "NOT READY: ", 0, 20},
      {"small", R"({"site": {"opening_mm": 6000, "room_mm": 2500}})", "NOT READY: ", 4},
      {"steep", R"({"site": {"opening_mm": 6000, "grade": 0.1}, "gate": {"panels": 4}})", "", 0},
  };
  for (const Site& site : sites) {
    write("site.json", site.text);
    const ProgramRun outcome = run("check site.json");
    EXPECT_TRUE(*site.begins == '\0' || outcome.code == site.code) << site.name << outcome.err;
    EXPECT_TRUE(outcome.out.starts_with(site.begins)) << site.name << outcome.out.substr(0, 80);
    EXPECT_LT(heightOf(outcome.out + outcome.err), 40) << site.name << "\n" << outcome.out;
    EXPECT_NE(outcome.out.find("\nCautions: "), std::string::npos) << site.name;
    EXPECT_EQ(outcome.out.find("(row "), std::string::npos) << site.name;
    for (const std::string& sentence : sentences(outcome.out)) {
      EXPECT_LT(std::count(sentence.begin(), sentence.end(), ' '), 30) << sentence;
    }
    EXPECT_LE(heightOf(run("check site.json --quiet").out), site.quiet_lines) << site.name;
  }
}

TEST_F(CliTexts, HelpHasExamplesAndExitCodesAndTyposTheNearestWord) {
  const ProgramRun bare = run("");
  EXPECT_EQ(run("help").out, bare.out);
  for (const char* command : {"new", "check", "build", "compare", "diff", "hardware", "explain",
                              "schema", "man", "completion"}) {
    const std::string help = run(std::string("help ") + command).out;
    EXPECT_EQ(help, run(command + std::string(" --help")).out) << command;
    EXPECT_NE(help.find(std::string("Examples:\n  ")), std::string::npos) << command;
    EXPECT_NE(help.find("leafstack " + std::string(command)), std::string::npos) << command;
    EXPECT_NE(help.find("Exit codes:\n  0 "), std::string::npos) << command;
    EXPECT_NE(bare.out.find(command), std::string::npos);
    std::istringstream in(help);
    for (std::string line; std::getline(in, line);) {
      EXPECT_LE(line.size(), 100U) << command << ": " << line;
    }
  }
  EXPECT_NE(run("chek gate.json").err.find("did you mean leafstack check?"), std::string::npos);
  EXPECT_NE(run("check gate.json --qiet").err.find("did you mean --quiet?"), std::string::npos);
  EXPECT_EQ(run("help nonsense").code, 2);
}

TEST_F(CliTexts, ExplainIsAPageOnOneKey) {
  const std::string page = run("explain /gate/infill/kind").out;
  for (const char* words :
       {"/gate/infill/kind\n", "Allowed\n", "Default\n  \"pickets\"", "Choices\n", "upright bars",
        "Examples\n",
        "{\"site\": {\"opening_mm\": 6000}, \"gate\": {\"infill\": {\"kind\": \"open\"}}}"}) {
    EXPECT_NE(page.find(words), std::string::npos) << words << "\n" << page;
  }
  EXPECT_EQ(run("explain site.opening_mm").out, run("explain opening").out);
  EXPECT_NE(run("explain /gate").out.find("height_mm\n"), std::string::npos);
  EXPECT_EQ(run("explain no_such_key").code, 2);
  EXPECT_EQ(run("explain width").out, run("explain opening").out) << "as the reader takes it";
  EXPECT_EQ(run("explain grade").out, run("explain /site/grade").out) << "an exact name wins";
  EXPECT_NE(run("explain customer").out.find("/job/client"), std::string::npos);
  EXPECT_NE(run("explain opning").err.find("/site/opening_mm"), std::string::npos);
}

/// What a wrong command line is answered.
TEST_F(CliTexts, AnswersSayWhatToWrite) {
  write("gate.json", R"({"site": {"opening_mm": 3000}, "gate": {"panels": 1}})");
  write("prices.json", R"({"currency": "EUR", "per_kg": {"steel": 3}})");
  write("set.json", R"({"leafstack_hardware": 1, "name": "own"})");
  const std::pair<const char*, const char*> kAnswers[] = {
      {"check gate.json --set /site/opening_mm=6 m", "as in --set '/site/opening_mm=6 m'"},
      {"check gate.json --set /gate/stile=RHS 100x50x3", "--set '/gate/stile=RHS 100x50x3'"},
      {"check gate.json --set opening=6000", "did you mean /site/opening_mm?"},
      {"gate.json", "did you mean leafstack check gate.json?"},
      {"build gate.json", "leafstack build gate.json -o gate"},
      {"build gate.json -o out --only stpl", "did you mean stl?"},
      {"check gaet.json", "no such file; did you mean gate.json?"},
      {"check prices.json", "this is a price list, not a gate"},
      {"check set.json", "this is a hardware set, not a gate"},
      {"explain colour", "a colour is no input; /shop/finish"},
  };
  for (const auto& [words, answer] : kAnswers) {
    const ProgramRun outcome = run(words);
    EXPECT_NE(outcome.code, 0) << words;
    EXPECT_NE(outcome.err.find(answer), std::string::npos) << words << "\n" << outcome.err;
  }
  EXPECT_EQ(run("build gate.json -o out --dry-run --only 'report, tables'").code, 0);
}

TEST_F(CliTexts, QuietLeavesVerdictsAndWhatTellsAgainst) {
  write("good.json", R"({"site": {"opening_mm": 3000}, "gate": {"panels": 1}})");
  write("small.json", R"({"site": {"opening_mm": 6000, "room_mm": 1200}})");
  EXPECT_EQ(run("compare small.json --quiet").out, "NOT READY: nothing fits.\n");
  const std::string diff = run("diff good.json small.json --quiet").out;
  EXPECT_TRUE(diff.starts_with("good.json: READY\nsmall.json: NOT READY: ")) << diff;
  EXPECT_LT(heightOf(diff), 8) << diff;
  EXPECT_NE(run("diff good.json small.json").out.find("Not built, as it does not fit: small.json."),
            std::string::npos);
  EXPECT_TRUE(
      nlohmann::json::parse(run("diff good.json small.json --json").out)["parts"].is_null());
  // "... and 3 more" of the verdict's line are told below it.
  write("weak.json", R"({"site": {"opening_mm": 6000}, "checks": {"wind_speed_m_s": 45}})");
  const std::string quiet = run("check weak.json --quiet").out;
  EXPECT_NE(quiet.find("  - "), std::string::npos) << quiet;
  write("close.json", R"({"site": {"opening_mm": 6000}, "checks": {"build_tolerance_mm": 5}})");
  for (const char* more : {"", " --quiet"}) {
    EXPECT_NE(run(std::string("check close.json") + more).out.find("  - Built within 5 mm"),
              std::string::npos);
  }
}

/// 100 mm more height: by arithmetic the stile is 100 mm longer, and the bottom rail is the same
/// part.
TEST_F(CliTexts, DiffTellsWhatChanged) {
  write("a.json", R"({"site": {"opening_mm": 3000}, "gate": {"panels": 1}})");
  write("b.json", R"({"site": {"opening_mm": 3000}, "gate": {"panels": 1, "height_mm": 1800}})");
  const nlohmann::json same = nlohmann::json::parse(run("diff a.json a.json --json").out);
  EXPECT_TRUE(same["inputs"].empty() && same["figures"].empty()) << same.dump(1);
  EXPECT_TRUE(same["parts"]["changed"].empty() && same["parts"]["new"].empty());
  EXPECT_GT(same["parts"]["same"].get<int>(), 20);
  const ProgramRun outcome = run("diff a.json b.json --json");
  EXPECT_EQ(outcome.code, 0) << outcome.err;
  const nlohmann::json diff = nlohmann::json::parse(outcome.out);
  ASSERT_EQ(diff["inputs"].size(), 1U) << diff["inputs"].dump(1);
  EXPECT_EQ(diff["inputs"][0],
            (nlohmann::json{{"pointer", "/gate/height_mm"}, {"a", 1700}, {"b", 1800}}));
  bool is_stile_told = false;
  for (const nlohmann::json& part : diff["parts"]["changed"]) {
    EXPECT_NE(part["name"], "bottom rail");
    if (part["name"] == "stile" && part["changes"].contains("length_mm")) {
      const nlohmann::json& length = part["changes"]["length_mm"];
      EXPECT_NEAR(length["b"].get<double>() - length["a"].get<double>(), 100, 1e-6);
      is_stile_told = true;
    }
  }
  EXPECT_TRUE(is_stile_told) << diff["parts"].dump(1);
  const std::string text = run("diff a.json b.json").out;
  EXPECT_TRUE(text.starts_with("a.json: READY\nb.json: READY\n")) << text;
  EXPECT_NE(text.find("  /gate/height_mm: 1700 -> 1800\n"), std::string::npos) << text;
}

}  // namespace
}  // namespace leafstack
