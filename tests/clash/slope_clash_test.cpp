// Gates on slopes and surveyed ground, judged through their whole travel.
//
// What a block does in its channel on a slope is common practice of the trade, no source; the
// positions are plain arithmetic.
#include <gtest/gtest.h>

#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/layout.h"
#include "params/read_gate.h"
#include "tests/support/report_text.h"

namespace leafstack {
namespace {

struct Judged {
  Layout layout;
  ClashReport clash;
  std::string problem;
};

Judged judged(const std::string& gate) {
  Judged result;
  const ReadResult read = readGate(gate, "test");
  if (!read.gate) {
    result.problem = read.problems.front().message;
    return result;
  }
  const LayoutResult laid_out = layOut(read.gate->spec);
  result.layout = laid_out.layout;
  if (!laid_out.problems.empty()) {
    result.problem = laid_out.problems.front().text;
    return result;
  }
  result.clash = checkClashes(buildModel(read.gate->spec, laid_out.layout));
  return result;
}

void expectClear(const std::string& gate) {
  const Judged result = judged(gate);
  ASSERT_EQ(result.problem, "") << gate;
  EXPECT_EQ(result.clash.verdict, Verdict::kClear) << gate << "\n" << allText(result.clash);
  EXPECT_TRUE(result.clash.proved_between_positions) << gate;
}

/// Grades, tops, panels and hands; infill and stacking go round with them.
class SlopeMatrix : public ::testing::TestWithParam<std::tuple<int, const char*, double>> {};

TEST_P(SlopeMatrix, IsClearToEitherHand) {
  const auto [panels, top, grade] = GetParam();
  const char* infill = panels == 3 ? "slats" : std::string(top) == "level" ? "sheet" : "pickets";
  for (const char* hand : {"right", "left"}) {
    const char* stacking = std::string(hand) == "left" ? "staggered" : "flush";
    expectClear(R"({"site": {"opening_mm": )" + std::to_string(3300 + 700 * panels) +
                R"(, "grade": )" + std::to_string(grade) + R"(, "opens": ")" + hand +
                R"("}, "gate": {"panels": )" + std::to_string(panels) + R"(, "top": ")" + top +
                R"(", "height_mm": 1550, "stacking": ")" + stacking + R"(", "infill": {"kind": ")" +
                infill + R"("}}})");
  }
}

INSTANTIATE_TEST_SUITE_P(Slopes, SlopeMatrix,
                         ::testing::Combine(::testing::Values(2, 3, 4),
                                            ::testing::Values("raked", "level", "stepped"),
                                            ::testing::Values(0, 0.05, -0.05, 0.125, -0.125)));

TEST(SlopeClash, CrossSlopesMountsAndCladdingAreClear) {
  expectClear(R"({"site": {"opening_mm": 4700, "grade": 0.08, "cross_grade": 0.05},
    "gate": {"panels": 2, "top": "level", "cladding": {"kind": "battens"}},
    "guides": {"mount": "overhead"}})");
  expectClear(R"({"site": {"opening_mm": 5300, "grade": -0.06, "cross_grade": -0.04,
    "opens": "left"}, "gate": {"panels": 3, "top": "raked", "cladding": {"kind": "boards"}},
    "guides": {"mount": "reach-over"}, "drive": {"motor": "narrow"}})");
  expectClear(R"({"site": {"opening_mm": 3900, "grade": -0.17},
    "gate": {"panels": 2, "top": "raked", "infill": {"kind": "sheet"}, "material": "aluminium"},
    "guides": {"recess_mm": 20}})");
  expectClear(R"({"site": {"opening_mm": 3900, "grade": 0.07}, "gate": {"panels": 1,
    "top": "stepped"}})");
}

/// A rail at the very top of an uphill level gate: the block stands 3 mm under its channel's top
/// when closed and rises by the grade.
TEST(SlopeClash, BlockLeavesItsChannelWhereArithmeticSaysSo) {
  for (const double grade : {0.05, 0.08, 0.125}) {
    const Judged result = judged(R"({"site": {"opening_mm": 4400, "grade": )" +
                                 std::to_string(grade) + R"(}, "gate": {"panels": 2,
      "top": "level"}, "guides": {"drop_mm": [0, 0]}})");
    EXPECT_EQ(result.clash.verdict, Verdict::kClash);
    int found = 0;
    for (const Finding& finding : result.clash.findings) {
      // The rail rises into its lift keeper, too.
      EXPECT_TRUE(finding.finding_class == FindingClass::kContactLost ||
                  finding.text.find("lift keeper") != std::string::npos)
          << finding.text;
      if (finding.text.find("guide block leaves the top of its channel") != std::string::npos) {
        ++found;
        ASSERT_EQ(finding.stretches_mm.size(), 1U);
        EXPECT_NEAR(finding.stretches_mm.front().from_mm, 3 / grade, 1e-4);
        EXPECT_NEAR(finding.stretches_mm.front().to_mm, 2200, 1e-6);
      }
    }
    EXPECT_EQ(found, 2);
  }
}

std::string surveyed(const std::string& points, double opening) {
  return R"({"site": {"opening_mm": )" + std::to_string(opening) + R"(, "track_survey_mm": [)" +
         points + R"(]}, "gate": {"panels": 2, "infill": {"kind": "sheet"}}})";
}

TEST(SurveyClash, GentleDipsAreClearAndPitchIsCovered) {
  const std::string gate =
      surveyed("[0, 0], [800, -5], [1700, 3], [2600, 8], [4200, 13], [9000, 28]", 4400);
  const Judged result = judged(gate);
  ASSERT_EQ(result.problem, "");
  EXPECT_EQ(result.clash.verdict, Verdict::kClear) << allText(result.clash);
  EXPECT_TRUE(result.clash.proved_between_positions);
  EXPECT_GT(result.layout.panel(2).most_lean_deg, 0.05);
}

/// A bump between the points where a panel's wheels stand.
TEST(SurveyClash, ABumpThatGroundsAPanelIsFound) {
  const Judged result = judged(surveyed(
      "[-400, 0], [0, 0], [700, 0], [1100, 60], [1500, 0], [2200, 0], [3200, 0], [9000, 0]", 4400));
  ASSERT_EQ(result.problem, "");
  EXPECT_EQ(result.clash.verdict, Verdict::kClash);
  EXPECT_LT(result.layout.ground.least_clearance_mm, 0);
  bool grounds = false;
  for (const Finding& finding : result.clash.findings) {
    grounds = grounds || (finding.a.name == "footing" && finding.b.name == "bottom rail") ||
              (finding.b.name == "footing" && finding.a.name == "bottom rail");
  }
  EXPECT_TRUE(grounds) << allText(result.clash);
}

}  // namespace
}  // namespace leafstack
