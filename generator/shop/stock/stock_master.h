// The linear and whole-number programs of stock planning, solved by Clp and Cbc: patterns are
// columns, how often each is cut is sought, every type's demand is to be covered.
//
// Both are kept silent, run in the calling thread, and stop by counts of their steps.
#pragma once

#include <memory>
#include <set>
#include <vector>

#include "generator/shop/stock/stock_patterns.h"

namespace leafstack::stock {

class Master {
 public:
  explicit Master(const Problem& problem);
  ~Master();
  Master(const Master&) = delete;
  Master& operator=(const Master&) = delete;

  /// False where it is there already.
  bool add(const Pattern& pattern);
  const std::vector<Pattern>& patterns() const { return patterns_; }

  /// From now on only this is to be covered, by patterns that cut no more of any type.
  void setDemand(const std::vector<int>& demand);
  /// The linear program. False where the solver gives up.
  bool solve();

  double value() const;             ///< length bought, hundredths of a mm
  double dual(int type) const;      ///< what one more piece costs, hundredths of a mm
  double times(int pattern) const;  ///< how often `pattern` is cut
  std::int64_t effort() const;      ///< simplex steps so far, times the size of one

  /// Whole numbers of the patterns met, for the whole demand: the incumbent or better; none where
  /// the solver gives up. Stops at `target`, or when nodes and simplex steps, times rows and
  /// columns, exceed `most_effort`.
  std::vector<Pattern> wholeNumbers(const std::vector<Pattern>& incumbent, Hundredths target,
                                    std::int64_t most_effort);

 private:
  struct Program;
  bool isProper(const Pattern& pattern) const;
  double cost(const Pattern& pattern) const;
  void takeFresh();
  /// Patterns that a plan better than the incumbent can hold, and its own; likeliest first.
  std::vector<int> promising(const std::vector<Pattern>& incumbent) const;
  /// How often to cut each of the chosen patterns, in whole numbers: `start` or cheaper; empty
  /// where the solver gives up.
  std::vector<double> cheapestTimes(const std::vector<int>& chosen,
                                    const std::vector<double>& start, double target,
                                    std::int64_t most_steps) const;

  const Problem& problem_;
  double unit_ = 1;  ///< costs are whole multiples of it, which helps the solver to round up
  std::vector<int> demand_;
  std::vector<Pattern> patterns_;
  std::set<Pattern> known_;
  std::unique_ptr<Program> program_;
};

}  // namespace leafstack::stock
