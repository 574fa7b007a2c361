// The list of outputs: what it says is what is planned, written and told.
#include <gtest/gtest.h>

#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "exporters/folder/gate_folder.h"
#include "generator/geometry/in_parallel.h"
#include "tests/support/run_program.h"

namespace leafstack {
namespace {

TEST(Outputs, ReadmesTableIsTheList) {
  std::string table = "| file | for | what it is |\n|---|---|---|\n";
  for (const Output& output : outputs()) {
    for (const OutputText& text : output.texts) {
      table += "| " + std::string(text.files) + " | " + std::string(text.reader) + " | " +
               std::string(text.what) +
               (output.on_request ? " (`--only " + std::string(output.name) + "`)" : "") + " |\n";
    }
  }
  const std::string readme = bytesIn(fs::path(LEAFSTACK_SOURCE_DIR) / "README.md");
  EXPECT_NE(readme.find(table + "| `manifest.json` |"), std::string::npos)
      << "the README's table of files should read:\n"
      << table;
  const std::string files = bytesIn(fs::path(LEAFSTACK_SOURCE_DIR) / "exporters/README.md");
  EXPECT_NE(files.find("`--only` takes " + outputNames(false) + ";"), std::string::npos);
  EXPECT_NE(files.find("on request " + outputNames(true) + "."), std::string::npos);
}

TEST(Outputs, EveryRowIsChosenByItsNameAlone) {
  std::set<std::string_view> names;
  for (const Output& output : outputs()) {
    EXPECT_TRUE(names.insert(output.name).second) << output.name << " twice";
    EXPECT_FALSE(output.texts.empty()) << output.name << " is not told of";
    EXPECT_EQ(OutputChoice{}.has(output), !output.on_request);
    OutputChoice one;
    one.only = {std::string(output.name)};
    for (const Output& other : outputs()) {
      EXPECT_EQ(one.has(other), other.name == output.name);
    }
  }
}

TEST(InParallel, DoesEveryPieceAndTellsTheFirstFailure) {
  for (const int threads : {1, 8}) {
    const ThreadLimit limit(threads);
    std::vector<int> done(1000);
    inParallel(1000, [&](int i) { done.at(i) += i; });
    for (int i = 0; i < 1000; ++i) {
      EXPECT_EQ(done[i], i);
    }
    for (int round = 0; round < 20; ++round) {
      try {
        inParallel(100, [](int i) {
          if (i % 7 == 3) {
            throw std::runtime_error(std::to_string(i));
          }
        });
        FAIL() << "nothing thrown";
      } catch (const std::runtime_error& error) {
        EXPECT_STREQ(error.what(), "3");
      }
    }
    inParallel(0, [](int) { FAIL(); });
  }
}

}  // namespace
}  // namespace leafstack
