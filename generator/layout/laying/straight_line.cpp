#include "generator/layout/laying/straight_line.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "generator/linear/linear_program.h"

namespace leafstack {
namespace {

using Slab = std::vector<std::array<double, 2>>;

// Beside this nothing else counts: limits are exceeded only where no line keeps them.
constexpr double kExcessCost = 1000;
// Exceeded by less: the solver's tolerance.
constexpr double kKeptMm = 1e-6;

/// Shims, grinding and what exceeds the limits of both, so that they make up for a height.
struct Between {
  int shim = 0, ground = 0, too_high = 0, too_low = 0;

  Between(LinearProgram& program, const LayingLimits& limits)
      : shim(program.column(0, limits.shims_mm, 1)),
        ground(program.column(0, limits.grinding_mm, kGrindingCost)),
        too_high(program.column(0, LinearProgram::kNoBound, kExcessCost)),
        too_low(program.column(0, LinearProgram::kNoBound, kExcessCost)) {}

  /// Line, given by `height`, less slab.
  void make(LinearProgram& program, std::vector<std::pair<int, double>> height,
            double slab_mm) const {
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
  LinearProgram program;
  const int height =
      program.column(-LinearProgram::kNoBound, LinearProgram::kNoBound, 0);  // in the middle
  const int rise = program.column(-LinearProgram::kNoBound, LinearProgram::kNoBound,
                                  0);  // from there to the far end
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
  LinearProgram program;
  std::vector<int> heights;
  std::vector<Between> between;
  for (const auto& [x, z] : slab) {
    heights.push_back(program.column(-LinearProgram::kNoBound, LinearProgram::kNoBound, 0));
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
