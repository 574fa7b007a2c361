// Small linear programs in whole numbers. Judge: every combination tried.
#include "generator/linear/linear_program.h"

#include <gtest/gtest.h>

#include <cmath>
#include <optional>
#include <random>

namespace leafstack {
namespace {

constexpr int kColumns = 4, kMost = 5;

struct Row {
  LinearProgram::Factors factors;
  double least, most;

  bool isKept(const std::vector<double>& at) const {
    double sum = 0;
    for (const auto& [column, factor] : factors) {
      sum += factor * at[column];
    }
    return sum >= least - 1e-7 && sum <= most + 1e-7;
  }
};

/// The least cost of all combinations of 0 to kMost that keep the rows.
std::optional<double> leastOfAll(const std::vector<double>& cost, const std::vector<Row>& rows) {
  std::optional<double> least;
  for (int number = 0; number < std::pow(kMost + 1, kColumns); ++number) {
    std::vector<double> at;
    double sum = 0;
    for (int i = 0, rest = number; i < kColumns; ++i, rest /= kMost + 1) {
      at.push_back(rest % (kMost + 1));
      sum += cost[i] * at.back();
    }
    bool is_kept = true;
    for (const Row& row : rows) {
      is_kept = is_kept && row.isKept(at);
    }
    if (is_kept && (!least || sum < *least)) {
      least = sum;
    }
  }
  return least;
}

TEST(LinearProgram, FindsTheLeastOfAllCombinations) {
  std::mt19937 random(20261201);
  const auto upTo = [&](int most) { return static_cast<int>(random() % (most + 1)); };
  int solvable = 0, unsolvable = 0;
  for (int turn = 0; turn < 300; ++turn) {
    std::vector<double> cost;
    LinearProgram program;
    for (int i = 0; i < kColumns; ++i) {
      cost.push_back(1 + upTo(8));
      program.wholeColumn(0, kMost, cost.back());
    }
    std::vector<Row> rows;
    for (int i = 0; i < 4; ++i) {
      Row row{{}, static_cast<double>(upTo(12)) - 4, LinearProgram::kNoBound};
      for (int column = 0; column < kColumns; ++column) {
        if (const int factor = upTo(6) - 3; factor != 0) {
          row.factors.emplace_back(column, factor);
        }
      }
      if (row.factors.empty()) {
        continue;
      }
      rows.push_back(row);
      // The same again at another scale, turned round, asking a little more or less.
      const double scale = (upTo(1) == 0 ? -1 : 1) * (0.25 + upTo(3));
      Row again;
      for (const auto& [column, factor] : row.factors) {
        again.factors.emplace_back(column, factor * scale);
      }
      const double least = row.least + upTo(4) - 2, most = row.least + 6 + upTo(9);
      again.least = std::min(least * scale, most * scale);
      again.most = std::max(least * scale, most * scale);
      rows.push_back(again);
    }
    for (const Row& row : rows) {
      program.row(row.factors, row.least, row.most);
    }
    const std::optional<double> least = leastOfAll(cost, rows);
    const std::vector<double> found = program.solved();
    ASSERT_EQ(found.empty(), !least) << "turn " << turn;
    ++(least ? solvable : unsolvable);
    if (!least) {
      continue;
    }
    double sum = 0;
    for (int i = 0; i < kColumns; ++i) {
      sum += cost[i] * found[i];
    }
    EXPECT_NEAR(sum, *least, 1e-6) << "turn " << turn;
    for (const Row& row : rows) {
      EXPECT_TRUE(row.isKept(found)) << "turn " << turn;
    }
  }
  EXPECT_GT(solvable, 50);
  EXPECT_GT(unsolvable, 50);
}

TEST(LinearProgram, WithoutARowTakesTheBounds) {
  LinearProgram program;
  program.wholeColumn(2, 5, 1);
  program.row({{0, -1}}, -5, LinearProgram::kNoBound);  // kept by the bounds
  EXPECT_EQ(program.solved(), std::vector<double>{2});
}

}  // namespace
}  // namespace leafstack
