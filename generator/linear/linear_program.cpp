#include "generator/linear/linear_program.h"

#include <CbcModel.hpp>
#include <CglMixedIntegerRounding2.hpp>
#include <CglProbing.hpp>
#include <ClpFactorization.hpp>
#include <ClpSimplex.hpp>
#include <CoinPackedMatrix.hpp>
#include <OsiClpSolverInterface.hpp>
#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

// Many times what any of these programs takes.
constexpr int kMostNodes = 20000;

/// Dense blocks would go to whichever BLAS the machine has, and other roundings to other answers.
void keepAlike(ClpSimplex& lp) {
  constexpr int kNeverDense = 0;
  lp.setLogLevel(0);
  lp.factorization()->setDenseThreshold(kNeverDense);
}

}  // namespace

int LinearProgram::column(double least, double most, double cost) {
  least_.push_back(least <= -kNoBound ? -COIN_DBL_MAX : least);
  most_.push_back(most >= kNoBound ? COIN_DBL_MAX : most);
  cost_.push_back(cost);
  return columns() - 1;
}

int LinearProgram::wholeColumn(double least, double most, double cost) {
  whole_.push_back(column(least, most, cost));
  return whole_.back();
}

bool LinearProgram::isKeptByBounds(const Factors& factors, double least, double most) const {
  double lowest = 0, highest = 0;
  for (const auto& [column, factor] : factors) {
    lowest += factor * (factor > 0 ? least_ : most_)[column];
    highest += factor * (factor > 0 ? most_ : least_)[column];
  }
  return lowest >= least && highest <= most;
}

void LinearProgram::row(const Factors& factors, double least, double most) {
  if (isKeptByBounds(factors, least, most)) {
    return;
  }
  // Rows that say the same of the same columns, at whatever scale, are one.
  constexpr double kToldApart = 1e-9;
  std::vector<std::pair<int, std::int64_t>> direction;
  const double first = factors.empty() ? 1 : factors.front().second;
  for (const auto& [column, factor] : factors) {
    direction.emplace_back(column, std::llround(factor / first / kToldApart));
  }
  const auto [known, is_new] =
      alike_.try_emplace(std::move(direction), Alike{static_cast<int>(row_least_.size()), first});
  if (!is_new) {
    const double scale = known->second.first / first;
    const double low = scale > 0 ? least : most, high = scale > 0 ? most : least;
    double& own_least = row_least_[known->second.row];
    double& own_most = row_most_[known->second.row];
    own_least = std::abs(low) >= kNoBound ? own_least : std::max(own_least, low * scale);
    own_most = std::abs(high) >= kNoBound ? own_most : std::min(own_most, high * scale);
    return;
  }
  for (const auto& [column, factor] : factors) {
    rows_.push_back(static_cast<int>(row_least_.size()));
    columns_.push_back(column);
    factors_.push_back(factor);
  }
  row_least_.push_back(least <= -kNoBound ? -COIN_DBL_MAX : least);
  row_most_.push_back(most >= kNoBound ? COIN_DBL_MAX : most);
}

std::vector<double> LinearProgram::solved() const {
  if (!whole_.empty()) {
    return solvedInWholeNumbers();
  }
  const CoinPackedMatrix matrix(false, rows_.data(), columns_.data(), factors_.data(),
                                static_cast<CoinBigIndex>(factors_.size()));
  ClpSimplex lp;
  keepAlike(lp);
  lp.loadProblem(matrix, least_.data(), most_.data(), cost_.data(), row_least_.data(),
                 row_most_.data());
  lp.primal();
  if (!lp.isProvenOptimal()) {
    return {};
  }
  const double* at = lp.primalColumnSolution();
  return {at, at + cost_.size()};
}

std::vector<double> LinearProgram::solvedInWholeNumbers() const {
  CoinPackedMatrix matrix(false, rows_.data(), columns_.data(), factors_.data(),
                          static_cast<CoinBigIndex>(factors_.size()));
  matrix.setDimensions(static_cast<int>(row_least_.size()), columns());
  OsiClpSolverInterface whole;
  whole.messageHandler()->setLogLevel(0);
  keepAlike(*whole.getModelPtr());
  whole.setHintParam(OsiDoReducePrint, true, OsiHintTry);
  whole.loadProblem(matrix, least_.data(), most_.data(), cost_.data(), row_least_.data(),
                    row_most_.data());
  for (const int column : whole_) {
    whole.setInteger(column);
  }
  CbcModel search(whole);
  // Cuts of the first node: a change at all costs, which its relaxation hardly feels.
  constexpr int kFirstNodeOnly = -99;
  CglProbing probing;
  probing.setUsingObjective(1);
  CglMixedIntegerRounding2 rounding;
  search.addCutGenerator(&probing, kFirstNodeOnly, "probing");
  search.addCutGenerator(&rounding, kFirstNodeOnly, "rounding");
  search.setLogLevel(0);
  search.setMaximumNodes(kMostNodes);
  search.initialSolve();
  if (!search.isInitialSolveProvenOptimal()) {
    return {};
  }
  search.branchAndBound();
  const double* const best = search.bestSolution();
  return best == nullptr ? std::vector<double>() : std::vector<double>(best, best + columns());
}

}  // namespace leafstack
