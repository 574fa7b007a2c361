// The texts of the commands as one reads them: verdict first, short, in plain sentences.
#include <gtest/gtest.h>

#include <algorithm>
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
  };
  const Site sites[] = {
      {"good", R"({"site": {"opening_mm": 6000, "room_mm": 3500}})", "READY: ", 0},
      {"tight", R"({"site": {"opening_mm": 6000}, "checks": {"build_tolerance_mm": 6}})",
       "READY: ", 0},
      {"clash", R"({"site": {"opening_mm": 6000}, "guides": {"packing_mm": 0},
                    "gate": {"cladding": {"kind": "boards", "thickness_mm": 60}}})",
       "NOT READY: ", 5},
      {"overloaded", R"({"site": {"opening_mm": 6000}, "checks": {"wind_speed_m_s": 40}})",
       "NOT READY: ", 0},
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
    EXPECT_LE(heightOf(run("check site.json --quiet").out), 10) << site.name;
  }
}

}  // namespace
}  // namespace leafstack
