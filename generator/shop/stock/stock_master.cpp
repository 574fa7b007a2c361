#include "generator/shop/stock/stock_master.h"

#include <CbcEventHandler.hpp>
#include <CbcModel.hpp>
#include <ClpFactorization.hpp>
#include <ClpSimplex.hpp>
#include <CoinPackedMatrix.hpp>
#include <OsiClpSolverInterface.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace leafstack::stock {
namespace {

/// Far more than any of these programs takes; against endless cycling.
constexpr int kMostSimplexSteps = 50000;
/// Columns of the whole-number program: more make its nodes slow for little gain.
constexpr std::size_t kMostColumns = 1500;
constexpr int kSilent = 0;
/// Dense blocks would go to whichever BLAS the machine has, and other roundings to other plans.
constexpr int kNeverDense = 0;

}  // namespace

/// Columns to be added to a program, one after the other.
struct Columns {
  std::vector<CoinBigIndex> starts{0};
  std::vector<int> rows;
  std::vector<double> counts, costs, least, most;

  void add(const Pattern& pattern, double cost, bool is_usable) {
    for (const auto& [type, count] : pattern.pieces) {
      rows.push_back(type);
      counts.push_back(count);
    }
    starts.push_back(static_cast<CoinBigIndex>(rows.size()));
    costs.push_back(cost);
    least.push_back(0);
    most.push_back(is_usable ? COIN_DBL_MAX : 0);
  }

  int size() const { return static_cast<int>(costs.size()); }
};

namespace {

/// Ends the search for whole numbers at its target, or when its steps are spent.
class Watch : public CbcEventHandler {
 public:
  /// `most_steps`: nodes and simplex steps together.
  Watch(double target, std::int64_t most_steps) : target_(target), most_steps_(most_steps) {}

  CbcEventHandler* clone() const override { return new Watch(*this); }  // as the library wants it

  CbcAction event(CbcEvent) override {
    constexpr double kHalfUnit = 0.5;
    const bool is_reached =
        model_->bestSolution() != nullptr && model_->getObjValue() < target_ + kHalfUnit;
    const bool is_spent = std::int64_t{model_->getNodeCount()} + model_->getIterationCount() +
                              model_->numberStrongIterations() >
                          most_steps_;
    return is_reached || is_spent ? stop : noAction;
  }

 private:
  double target_;
  std::int64_t most_steps_;
};

}  // namespace

struct Master::Program {
  ClpSimplex lp;
  Columns fresh;          ///< not yet in `lp`
  bool is_moved = false;  ///< demand changed since the last solution
  std::int64_t effort = 0;
};

Master::Master(const Problem& problem)
    : problem_(problem), demand_(problem.demand), program_(std::make_unique<Program>()) {
  Hundredths unit = 0;
  for (const Hundredths length : problem.stock) {
    unit = std::gcd(unit, length);
  }
  unit_ = static_cast<double>(unit);
  program_->lp.setLogLevel(kSilent);
  program_->lp.setMaximumIterations(kMostSimplexSteps);
  program_->lp.factorization()->setDenseThreshold(kNeverDense);
  program_->lp.resize(static_cast<int>(problem.weight.size()), 0);
  setDemand(problem.demand);
}

Master::~Master() = default;

bool Master::add(const Pattern& pattern) {
  if (pattern.pieces.empty() || !known_.insert(pattern).second) {
    return false;
  }
  patterns_.push_back(pattern);
  program_->fresh.add(pattern, cost(pattern), isProper(pattern));
  return true;
}

double Master::cost(const Pattern& pattern) const {
  return static_cast<double>(problem_.stock[pattern.stock]) / unit_;
}

bool Master::isProper(const Pattern& pattern) const {
  return std::all_of(pattern.pieces.begin(), pattern.pieces.end(),
                     [&](const TypeCount& p) { return p.count <= demand_[p.type]; });
}

void Master::setDemand(const std::vector<int>& demand) {
  demand_ = demand;
  takeFresh();
  for (std::size_t type = 0; type < demand.size(); ++type) {
    program_->lp.setRowBounds(static_cast<int>(type), demand[type], COIN_DBL_MAX);
  }
  for (std::size_t i = 0; i < patterns_.size(); ++i) {
    program_->lp.setColumnUpper(static_cast<int>(i), isProper(patterns_[i]) ? COIN_DBL_MAX : 0);
  }
  program_->is_moved = true;
}

void Master::takeFresh() {
  Columns& fresh = program_->fresh;
  if (fresh.size() > 0) {
    program_->lp.addColumns(fresh.size(), fresh.least.data(), fresh.most.data(), fresh.costs.data(),
                            fresh.starts.data(), fresh.rows.data(), fresh.counts.data());
    fresh = {};
  }
}

bool Master::solve() {
  takeFresh();
  ClpSimplex& lp = program_->lp;
  // Another demand leaves the duals sound, another column the solution.
  program_->is_moved ? lp.dual() : lp.primal();
  program_->is_moved = false;
  int steps = lp.numberIterations();
  if (!lp.isProvenOptimal()) {  // a basis gone bad, mostly
    lp.allSlackBasis(true);
    lp.primal();
    steps += lp.numberIterations();
  }
  program_->effort += static_cast<std::int64_t>(1 + steps) * (lp.numberRows() + lp.numberColumns());
  return lp.isProvenOptimal();
}

double Master::value() const {
  return program_->lp.objectiveValue() * unit_;
}

double Master::dual(int type) const {
  return program_->lp.dualRowSolution()[type] * unit_;
}

double Master::times(int pattern) const {
  return program_->lp.primalColumnSolution()[pattern];
}

std::int64_t Master::effort() const {
  return program_->effort;
}

std::vector<int> Master::promising(const std::vector<Pattern>& incumbent) const {
  const double room = (static_cast<double>(bought(problem_, incumbent)) - value()) / unit_;
  const std::set<Pattern> held(incumbent.begin(), incumbent.end());
  std::vector<std::pair<double, int>> found;
  for (int i = 0; i < static_cast<int>(patterns_.size()); ++i) {
    const double reduced_cost = program_->lp.dualColumnSolution()[i];
    if (held.contains(patterns_[i])) {
      found.emplace_back(-1, i);
    } else if (isProper(patterns_[i]) && reduced_cost <= room) {
      found.emplace_back(reduced_cost, i);
    }
  }
  std::sort(found.begin(), found.end());
  found.resize(std::min(found.size(), std::max(kMostColumns, held.size())));
  std::vector<int> chosen;
  for (const auto& [reduced_cost, i] : found) {
    chosen.push_back(i);
  }
  return chosen;
}

std::vector<double> Master::cheapestTimes(const std::vector<int>& chosen,
                                          const std::vector<double>& start, double target,
                                          std::int64_t most_steps) const {
  Columns columns;
  for (const int i : chosen) {
    columns.add(patterns_[i], cost(patterns_[i]), true);
  }
  const int rows = static_cast<int>(problem_.demand.size());
  const std::vector<double> demand(problem_.demand.begin(), problem_.demand.end());
  const std::vector<double> no_limit(problem_.demand.size(), COIN_DBL_MAX);
  OsiClpSolverInterface whole;
  whole.messageHandler()->setLogLevel(kSilent);
  whole.getModelPtr()->factorization()->setDenseThreshold(kNeverDense);
  whole.setHintParam(OsiDoReducePrint, true, OsiHintTry);
  whole.loadProblem(columns.size(), rows, columns.starts.data(), columns.rows.data(),
                    columns.counts.data(), columns.least.data(), columns.most.data(),
                    columns.costs.data(), demand.data(), no_limit.data());
  for (int column = 0; column < columns.size(); ++column) {
    whole.setInteger(column);
  }
  CbcModel search(whole);
  search.setLogLevel(kSilent);
  const Watch watch(target, most_steps);
  search.setNumberStrong(0);  // trial solutions at every node take longer than they save here
  search.passInEventHandler(&watch);
  search.initialSolve();
  if (!search.isInitialSolveProvenOptimal()) {
    return {};
  }
  const double start_cost =
      std::inner_product(start.begin(), start.end(), columns.costs.begin(), 0.0);
  search.setBestSolution(start.data(), columns.size(), start_cost);
  search.branchAndBound();
  const double* const best = search.bestSolution();
  return best == nullptr ? std::vector<double>() : std::vector<double>(best, best + columns.size());
}

std::vector<Pattern> Master::wholeNumbers(const std::vector<Pattern>& incumbent, Hundredths target,
                                          std::int64_t most_effort) {
  for (const Pattern& bar : incumbent) {
    add(bar);
  }
  setDemand(problem_.demand);
  if (!solve()) {
    return {};
  }
  const std::vector<int> chosen = promising(incumbent);
  std::vector<double> start;
  for (const int i : chosen) {
    start.push_back(
        static_cast<double>(std::count(incumbent.begin(), incumbent.end(), patterns_[i])));
  }
  const auto size = static_cast<std::int64_t>(problem_.demand.size() + chosen.size());
  const std::vector<double> times =
      cheapestTimes(chosen, start, static_cast<double>(target) / unit_, 1 + most_effort / size);
  std::vector<Pattern> bars;
  for (std::size_t column = 0; column < times.size(); ++column) {
    bars.insert(bars.end(), static_cast<std::size_t>(std::lround(std::max(0.0, times[column]))),
                patterns_[chosen[column]]);
  }
  return tidied(problem_, bars);
}

}  // namespace leafstack::stock
