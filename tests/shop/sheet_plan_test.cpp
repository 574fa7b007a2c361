// Plates laid on sheets: judged by looking at every pair of rectangles, and by hand.
#include "generator/shop/stock/sheet_plan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <random>
#include <stdexcept>

#include "generator/layout/layout.h"
#include "generator/shop/schedules.h"
#include "tests/support/random_gates.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

/// By hand: sheets of 1000 x 500 with gaps of 10 hold three rows of 150 (3 x 160 + 10 = 490), in
/// each of which four of 200 (4 x 210 + 10 = 850) lie, and not five (1060).
TEST(SheetPlan, RowsByHand) {
  const SheetPlan plan = planSheets({{"A", 150, 200, 13}}, {1000, 500, 10});
  ASSERT_EQ(plan.sheets.size(), 2U);
  EXPECT_EQ(plan.sheets[0].size(), 12U);
  EXPECT_EQ(plan.sheets[1].size(), 1U);
  EXPECT_EQ(plan.sheets[0][5].x_mm, 10 + 210);
  EXPECT_EQ(plan.sheets[0][5].y_mm, 10 + 160);
  EXPECT_TRUE(plan.sheets[0][5].is_turned) << "its longer side lies along the sheet";
  EXPECT_EQ(plan.needed_mm2, 13 * 150 * 200);
  EXPECT_EQ(plan.least_sheets, 1) << "13 x 160 x 210 is 0.89 of 990 x 490";
}

TEST(SheetPlan, WhatFitsOnlyUprightIsTurnedAndWhatFitsNeitherWayIsTold) {
  const SheetPlan plan =
      planSheets({{"U", 480, 300, 1}, {"L", 300, 1200, 2}, {"E", 980, 480, 1}}, {1000, 500, 10});
  ASSERT_EQ(plan.too_large.size(), 1U);
  EXPECT_EQ(plan.too_large[0].mark, "L");
  EXPECT_EQ(plan.sheets.size(), 2U) << "the one as large as the sheet lies alone";
}

void judge(const std::vector<SheetPiece>& pieces, const SheetRules& rules, const SheetPlan& plan) {
  std::map<std::string, int> asked, laid;
  std::map<std::string, const SheetPiece*> piece_of;
  for (const SheetPiece& piece : pieces) {
    asked[piece.mark] += piece.quantity;
    piece_of[piece.mark] = &piece;
  }
  for (const SheetPiece& piece : plan.too_large) {
    laid[piece.mark] += piece.quantity;
    const double longer = std::max(piece.length_mm, piece.width_mm) + 2 * rules.gap_mm;
    const double shorter = std::min(piece.length_mm, piece.width_mm) + 2 * rules.gap_mm;
    EXPECT_TRUE(longer > std::max(rules.length_mm, rules.width_mm) ||
                shorter > std::min(rules.length_mm, rules.width_mm));
  }
  constexpr double kRounding = 1e-6;
  for (const auto& sheet : plan.sheets) {
    EXPECT_FALSE(sheet.empty());
    for (std::size_t i = 0; i < sheet.size(); ++i) {
      const SheetCut& one = sheet[i];
      ++laid[one.mark];
      const SheetPiece& piece = *piece_of.at(one.mark);
      EXPECT_EQ(one.is_turned ? one.across_mm : one.along_mm, piece.length_mm);
      EXPECT_EQ(one.is_turned ? one.along_mm : one.across_mm, piece.width_mm);
      EXPECT_GE(std::min(one.x_mm, one.y_mm), rules.gap_mm);
      EXPECT_LE(one.x_mm + one.along_mm + rules.gap_mm, rules.length_mm + kRounding);
      EXPECT_LE(one.y_mm + one.across_mm + rules.gap_mm, rules.width_mm + kRounding);
      for (std::size_t j = 0; j < i; ++j) {
        const SheetCut& other = sheet[j];
        const double along =
            std::max(one.x_mm - other.x_mm - other.along_mm, other.x_mm - one.x_mm - one.along_mm);
        const double across = std::max(one.y_mm - other.y_mm - other.across_mm,
                                       other.y_mm - one.y_mm - one.across_mm);
        EXPECT_GE(std::max(along, across), rules.gap_mm - kRounding);
      }
    }
  }
  EXPECT_EQ(asked, laid);
  EXPECT_LE(plan.least_sheets, static_cast<int>(plan.sheets.size()));
}

TEST(SheetPlan, HoldsItsPropertiesWhateverIsAsked) {
  std::mt19937 random(20261130);
  for (int round = 0; round < gates::rounds(200, 2000); ++round) {
    std::uniform_real_distribution<double> size(5, 1400);
    std::vector<SheetPiece> pieces;
    for (int mark = 0; mark < 8; ++mark) {
      pieces.push_back({"P" + std::to_string(mark), size(random), size(random),
                        std::uniform_int_distribution(1, 6)(random)});
    }
    const SheetRules rules{500 + size(random), 300 + size(random),
                           std::uniform_real_distribution<double>(0, 30)(random)};
    judge(pieces, rules, planSheets(pieces, rules));
  }
}

TEST(SheetPlan, RefusesWhatIsNoSize) {
  const double kNan = std::numeric_limits<double>::quiet_NaN();
  const double kInfinite = std::numeric_limits<double>::infinity();
  for (const double bad : {0.0, -1.0, kNan, kInfinite}) {
    EXPECT_THROW(planSheets({{"A", bad, 10, 1}}, {1000, 500, 10}), std::invalid_argument);
    EXPECT_THROW(planSheets({{"A", 10, 10, 1}}, {1000, bad, 10}), std::invalid_argument);
  }
  EXPECT_THROW(planSheets({{"A", 10, 10, 200'000}}, {1000, 500, 10}), std::invalid_argument);
}

// Every plate that has a flat blank lies on a sheet of its thickness, as often as the gate has it.
TEST(SheetPlan, HoldsEveryBlankOfAGate) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 3}, {"/gate/infill/kind", "sheet"}});
  const Model model = buildModel(spec, gates::laidOut(spec));
  Schedules schedules = makeSchedules(model);
  planStock(model, schedules);
  std::map<std::string, int> laid;
  for (const SheetGroup& group : schedules.sheets) {
    EXPECT_GT(group.thickness_mm, 0);
    for (const auto& sheet : group.plan.sheets) {
      for (const SheetCut& cut : sheet) {
        ++laid[cut.mark];
      }
    }
    EXPECT_TRUE(group.plan.too_large.empty());
  }
  int blanks = 0;
  for (const ProfileRow& row : schedules.profiles) {
    EXPECT_EQ(laid[row.mark], row.profile ? row.quantity : 0) << row.mark;
    blanks += row.profile ? 1 : 0;
  }
  EXPECT_GT(blanks, 8);
}

}  // namespace
}  // namespace leafstack
