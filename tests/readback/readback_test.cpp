// The read-back of output folders: a sound folder passes, and each kind of damage is named.
#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "tests/readback/readback_checks.h"

namespace leafstack::readback {
namespace {

namespace fs = std::filesystem;

class Readback : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    root_ = fs::temp_directory_path() / ("readback-" + std::to_string(getpid()));
    fs::create_directories(root_);
    write(root_ / "gate.json",
          R"({"leafstack":1,"site":{"opening_mm":2000,"opens":"left"},"gate":{"panels":1}})");
    const std::string command = std::string(LEAFSTACK_BINARY) + " build " +
                                (root_ / "gate.json").string() + " -o " + sound().string() +
                                " >/dev/null 2>&1";
    ASSERT_EQ(std::system(command.c_str()), 0) << command;
  }
  static void TearDownTestSuite() { fs::remove_all(root_); }

  void SetUp() override { fs::copy(sound(), folder(), fs::copy_options::recursive); }
  void TearDown() override { fs::remove_all(folder()); }

  static fs::path sound() { return root_ / "sound"; }
  static fs::path folder() { return root_ / "damaged"; }

  static std::string read(const fs::path& path) {
    std::ostringstream text;
    text << std::ifstream(path, std::ios::binary).rdbuf();
    return text.str();
  }
  static void write(const fs::path& path, const std::string& text) {
    std::ofstream(path, std::ios::binary) << text;
  }

  // Replaces the first match of `pattern` in a file of the damaged folder.
  static void damage(const std::string& file, const std::string& pattern,
                     const std::string& replacement) {
    const std::string text = read(folder() / file);
    const std::string changed = std::regex_replace(text, std::regex(pattern), replacement,
                                                   std::regex_constants::format_first_only);
    ASSERT_NE(text, changed) << pattern << " is not in " << file;
    write(folder() / file, changed);
  }

  static nlohmann::json report() { return nlohmann::json::parse(read(folder() / "report.json")); }
  static void changeFirstPart(const std::string& key, const nlohmann::json& value) {
    nlohmann::json changed = report();
    changed.at("parts").at(0).at(key) = value;
    write(folder() / "report.json", changed.dump());
  }
  static std::string firstMark() { return report().at("parts").at(0).at("mark"); }

  static std::string stepOf(const std::string& mark) {
    const nlohmann::json whole = report();
    for (const nlohmann::json& part : whole.at("parts"))
      if (part.at("mark") == mark)
        for (const std::string file : part.at("files"))
          if (file.ends_with(".step")) return file;
    return "";
  }

  static void expectProblem(const std::string& part) {
    std::string all;
    for (const std::string& problem : checkFolder(folder().string()).problems)
      all += problem + "\n";
    EXPECT_NE(all.find(part), std::string::npos) << "wanted: " << part << "\ngot: " << all;
  }

  static inline fs::path root_;
};

TEST_F(Readback, SoundFolderHasNoProblem) {
  const Outcome outcome = checkFolder(folder().string());
  EXPECT_EQ(outcome.problems, std::vector<std::string>{});
  EXPECT_GT(outcome.solids, 20);
  EXPECT_GT(outcome.occurrences, 50);
}

TEST_F(Readback, EmptyFolder) {
  fs::remove_all(folder());
  expectProblem("report.json: ");
}

TEST_F(Readback, ReportFiguresOff) {
  const double volume = report().at("parts").at(0).at("volume_mm3");
  changeFirstPart("volume_mm3", volume * (1 + 3e-6));
  expectProblem("gate.step: " + firstMark() + ": volume");
  expectProblem(stepOf(firstMark()) + ": " + firstMark() + ": volume");
}

TEST_F(Readback, ReportAreaOrMassOff) {
  const nlohmann::json first = report().at("parts").at(0);
  changeFirstPart("area_mm2", first.at("area_mm2").get<double>() * (1 - 3e-6));
  expectProblem(": area");
  changeFirstPart("mass_kg", first.at("mass_kg").get<double>() + 0.001);
  expectProblem("is not volume x density");
}

TEST_F(Readback, ReportQuantityOff) {
  const int quantity = report().at("parts").at(0).at("quantity");
  changeFirstPart("quantity", quantity + 1);
  expectProblem("quantity is not the sum");
  nlohmann::json more = report().at("parts").at(0).at("per_panel");
  more.at(0).at("quantity") = more.at(0).at("quantity").get<int>() + 1;
  changeFirstPart("per_panel", more);
  expectProblem("or in other panels than the report's");
}

TEST_F(Readback, PartMissingFromReport) {
  nlohmann::json changed = report();
  changed.at("parts").erase(0);
  write(folder() / "report.json", changed.dump());
  expectProblem("is not in the report");
  expectProblem("no such mark in the report");
}

TEST_F(Readback, DamagedTextsAreNamed) {
  struct Damage {
    std::string file, pattern, replacement, problem;
  };
  const std::string usage = "(NEXT_ASSEMBLY_USAGE_OCCURRENCE\\('[^']*',')";
  const std::string part = stepOf(firstMark());
  const Damage all[] = {
      {"gate.step", usage + "([A-Z0-9]+)\\.2'", "$1$2.1'", "two occurrences are called"},
      {"gate-open.step", usage + "[A-Z0-9]+\\.2'", "$1X'", "is not named by mark and serial"},
      {"gate.step", "COLOUR_RGB\\([^;]*;", "COLOUR('');", "has no colour"},
      {part, "VOLUME_MEASURE\\([^)]*\\)", "VOLUME_MEASURE(1.)", "validation property volume"},
      {part, "PRODUCT\\('[^']*','[^']*'", "PRODUCT('SOLID','SOLID'",
       "a product is called 'SOLID'"}};
  for (const Damage& one : all) {
    const std::string sound_text = read(folder() / one.file);
    damage(one.file, one.pattern, one.replacement);
    expectProblem(one.problem);
    write(folder() / one.file, sound_text);
  }
}

TEST_F(Readback, PanelStandsElsewhereWhenOpen) {
  nlohmann::json changed = report();
  nlohmann::json& travel = changed.at("layout").at("panels").at(0).at("open_motion").at("x_mm");
  travel = travel.get<double>() + 0.01;
  write(folder() / "report.json", changed.dump());
  expectProblem("P1.1 moves by");
}

TEST_F(Readback, PartFilesExchanged) {
  const nlohmann::json parts = report().at("parts");
  const std::string other = parts.at(1).at("mark");
  fs::copy_file(folder() / stepOf(other), folder() / stepOf(firstMark()),
                fs::copy_options::overwrite_existing);
  expectProblem("product is called " + other);
}

TEST_F(Readback, PartFileMissing) {
  fs::remove(folder() / stepOf(firstMark()));
  expectProblem("cannot be opened");
  expectProblem("which does not exist");
}

TEST_F(Readback, PartFileTooMany) {
  write(folder() / "parts/bar/ZZ9.step", "");
  expectProblem("parts/bar/ZZ9.step: no such mark");
}

}  // namespace
}  // namespace leafstack::readback
