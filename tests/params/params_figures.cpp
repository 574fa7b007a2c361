// Limits that are worked out from given numbers: printed as a person would write them, and met by
// the very number printed.
#include <gtest/gtest.h>

#include <regex>
#include <string>

#include "params/read_gate.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

/// The `allowed` text of a gate file's only problem.
std::string allowedOf(const std::string& file) {
  const ReadResult result = readGate(file, "test gate");
  EXPECT_EQ(result.problems.size(), 1u) << file;
  return result.problems.empty() ? "" : result.problems.front().allowed;
}

TEST(Figures, WorkedOutAreRounded) {
  EXPECT_EQ(formatFigure(120.1 - 50 - 1.4), "68.7");  // 68.69999999999999 in doubles
  EXPECT_EQ(formatFigure(-0.0), "0");
  EXPECT_EQ(formatFigure(1e300), formatNumber(1e300));
}

TEST(Figures, PrintedLimitIsItselfAllowed) {
  const std::string before = R"({"site":{"opening_mm":5000},"gate":{"height_mm":)";
  const std::string after = R"(,"ground_clearance_mm":50.1,"bottom_rail":"RHS 100.2x50x3",)"
                            R"("top_rail":"RHS 150x50x3"}})";
  const std::string allowed = allowedOf(before + "600" + after);
  std::smatch found;
  ASSERT_TRUE(std::regex_search(allowed, found, std::regex("[0-9.]+"))) << allowed;
  EXPECT_EQ(found[0].str(), "600.3") << allowed;
  EXPECT_TRUE(readGate(before + found[0].str() + after, "test gate").problems.empty());
}

TEST(Figures, NoLimitIsBelowNothing) {
  const std::string allowed = allowedOf(
      R"({"site":{"opening_mm":5000},"guides":{"recess_mm":40},
          "gate":{"infill":{"kind":"pickets","section":"SHS 25x25x2"}}})");
  EXPECT_EQ(allowed, "a recess of at most 23 mm");
}

}  // namespace
}  // namespace leafstack
