#include "generator/layout/laying/straight_line.h"

#include <ClpSimplex.hpp>
#include <CoinPackedMatrix.hpp>
#include <algorithm>
#include <cmath>
#include <cstddef>

namespace leafstack {
namespace {

using Slab = std::vector<std::array<double, 2>>;

// Beside this nothing else counts: limits are exceeded only where no line keeps them.
constexpr double kExcessCost = 1000;
// Exceeded by less: the solver's tolerance.
constexpr double kKeptMm = 1e-6;

/// Rows `least <= sum of factors x columns <= most`, columns with bounds and costs.
class Program {
 public:
  int column(double least, double most, double cost) {
    least_.push_back(least);
    most_.push_back(most);
    cost_.push_back(cost);
    return static_cast<int>(cost_.size()) - 1;
  }
  void row(const std::vector<std::pair<int, double>>& factors, double least, double most) {
    for (const auto& [column, factor] : factors) {
      rows_.push_back(static_cast<int>(row_least_.size()));
      columns_.push_back(column);
      factors_.push_back(factor);
    }
    row_least_.push_back(least);
    row_most_.push_back(most);
  }
  std::vector<double> solved() const {
    const CoinPackedMatrix matrix(false, rows_.data(), columns_.data(), factors_.data(),
                                  static_cast<CoinBigIndex>(factors_.size()));
    ClpSimplex lp;
    lp.setLogLevel(0);
    lp.loadProblem(matrix, least_.data(), most_.data(), cost_.data(), row_least_.data(),
                   row_most_.data());
    lp.primal();
    const double* at = lp.primalColumnSolution();
    return {at, at + cost_.size()};
  }

 private:
  std::vector<int> rows_, columns_;
  std::vector<double> factors_, least_, most_, cost_, row_least_, row_most_;
};

/// Shims, grinding and what exceeds the limits of both, so that they make up for a height.
struct Between {
  int shim = 0, ground = 0, too_high = 0, too_low = 0;

  Between(Program& program, const LayingLimits& limits)
      : shim(program.column(0, limits.shims_mm, 1)),
        ground(program.column(0, limits.grinding_mm, kGrindingCost)),
        too_high(program.column(0, COIN_DBL_MAX, kExcessCost)),
        too_low(program.column(0, COIN_DBL_MAX, kExcessCost)) {}

  /// Line, given by `height`, less slab.
  void make(Program& program, std::vector<std::pair<int, double>> height, double slab_mm) const {
    height.insert(height.end(), {{shim, -1}, {ground, 1}, {too_high, -1}, {too_low, 1}});
    program.row(height, slab_mm, slab_mm);
  }
  double cost(const std::vector<double>& at) const { return at[shim] + kGrindingCost * at[ground]; }
  double excess(const std::vector<double>& at) const {
    const double most = std::max(at[too_high], at[too_low]);
    return most > kKeptMm ? most : 0;
  }
};

}  // namespace

StraightLine cheapestStraight(const Slab& slab, const LayingLimits& limits) {
  const double middle = (slab.front()[0] + slab.back()[0]) / 2;
  const double half = std::max(1.0, (slab.back()[0] - slab.front()[0]) / 2);
  Program program;
  const int height = program.column(-COIN_DBL_MAX, COIN_DBL_MAX, 0);  // in the middle
  const int rise = program.column(-COIN_DBL_MAX, COIN_DBL_MAX, 0);    // from there to the far end
  std::vector<Between> between;
  for (const auto& [x, z] : slab) {
    between.emplace_back(program, limits);
    between.back().make(program, {{height, 1}, {rise, (x - middle) / half}}, z);
  }
  const std::vector<double> at = program.solved();
  StraightLine line;
  line.slope = at[rise] / half;
  line.at_zero_mm = at[height] - line.slope * middle;
  for (const Between& one : between) {
    line.cost += one.cost(at);
    line.short_mm = std::max(line.short_mm, one.excess(at));
  }
  return line;
}

GentleLine cheapestGentle(const Slab& slab, const LayingLimits& limits, double bend_per_mm) {
  Program program;
  std::vector<int> heights;
  std::vector<Between> between;
  for (const auto& [x, z] : slab) {
    heights.push_back(program.column(-COIN_DBL_MAX, COIN_DBL_MAX, 0));
    between.emplace_back(program, limits);
    between.back().make(program, {{heights.back(), 1}}, z);
  }
  for (std::size_t i = 1; i + 1 < slab.size(); ++i) {
    const double before = slab[i][0] - slab[i - 1][0];
    const double after = slab[i + 1][0] - slab[i][0];
    const double most = bend_per_mm * (before + after) / 2;
    program.row({{heights[i - 1], 1 / before},
                 {heights[i], -1 / before - 1 / after},
                 {heights[i + 1], 1 / after}},
                -most, most);
  }
  const std::vector<double> at = program.solved();
  GentleLine line;
  for (std::size_t i = 0; i < slab.size(); ++i) {
    line.heights_mm.push_back(at[heights[i]]);
    line.cost += between[i].cost(at);
    line.short_mm = std::max(line.short_mm, between[i].excess(at));
  }
  return line;
}

}  // namespace leafstack
