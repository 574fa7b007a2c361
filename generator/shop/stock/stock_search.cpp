#include "generator/shop/stock/stock_search.h"

#include <algorithm>
#include <cmath>

#include "generator/shop/stock/stock_master.h"

namespace leafstack::stock {
namespace {

/// Duals in whole numbers, parts of a hundredth of a mm: fine enough to lose nothing that counts,
/// and products with lengths to 100 m still fit 64 bits.
constexpr std::int64_t kDualScale = 1024;
/// A share by which the linear program's value may be wrong; only where nothing is proved by it.
constexpr double kLinearNoise = 1e-7;
/// Below this a pattern is not cut, this near to a whole number it is cut that often.
constexpr double kTimesNoise = 1e-6;
constexpr std::size_t kMostStates = 5000;
constexpr int kMostRounds = 2000;
/// Knapsack states, about 10 ns each, that everything may take together, and what of it the bound
/// may take. Another 2 s or so go into whole numbers.
constexpr std::int64_t kMostEffort = 140'000'000, kBoundEffort = 80'000'000;
/// What a matrix entry in a step of the linear program costs, in knapsack states.
constexpr std::int64_t kLinearEffort = 3;
/// Of the first and the last search in whole numbers, in matrix entries.
constexpr std::int64_t kFirstWholeEffort = 2'000'000, kLastWholeEffort = 6'000'000;
constexpr std::size_t kFewPatterns = 1200;
constexpr int kMostDetours = 12;

class Search {
 public:
  explicit Search(const Problem& problem)
      : problem_(problem), sums_(problem.stock), master_(problem) {}

  Solution run() {
    solution_.bound = sums_.atLeast(materialBound());
    offer(firstFitDecreasing(problem_));
    if (isDone()) {
      return solution_;
    }
    std::vector<Pattern> met;
    offer(fillByValue(problem_, solution_.bound, met));
    if (isDone()) {
      return solution_;
    }
    addStart(met);
    addAllIfFew();
    if (!generate(problem_.demand, 0, kBoundEffort)) {
      return solution_;
    }
    offer(master_.wholeNumbers(solution_.bars, solution_.bound, kFirstWholeEffort));
    for (int detours = 0; detours <= kMostDetours && !isDone() && !isSpent(kMostEffort);
         ++detours) {
      std::vector<Pattern> cut;
      dive(problem_.demand, cut, detours);
    }
    if (!isDone()) {
      offer(master_.wholeNumbers(solution_.bars, solution_.bound, kLastWholeEffort));
    }
    return solution_;
  }

 private:
  bool isDone() const { return bought(problem_, solution_.bars) <= solution_.bound; }

  void offer(const std::vector<Pattern>& bars) {
    if (!bars.empty() &&
        (solution_.bars.empty() || bought(problem_, bars) < bought(problem_, solution_.bars))) {
      solution_.bars = bars;
    }
  }

  /// All weights in bars of the stock that gives most room for its length.
  Hundredths materialBound() const {
    long double per_weight = 1e30L;
    long double weight = 0;
    for (std::size_t k = 0; k < problem_.stock.size(); ++k) {
      per_weight = std::min(per_weight, static_cast<long double>(problem_.stock[k]) /
                                            static_cast<long double>(problem_.capacity[k]));
    }
    for (std::size_t i = 0; i < problem_.weight.size(); ++i) {
      weight += static_cast<long double>(problem_.weight[i] * problem_.demand[i]);
    }
    // Down by more than rounding can have added: the next sum of stock lengths is sound.
    constexpr long double kRounding = 1e-3L;
    return static_cast<Hundredths>(std::ceil(weight * per_weight - kRounding));
  }

  void addStart(const std::vector<Pattern>& met) {
    for (int type = 0; type < static_cast<int>(problem_.weight.size()); ++type) {
      master_.add({smallestStock(problem_, problem_.weight[type]), {{type, 1}}});
    }
    for (const Pattern& pattern : met) {
      master_.add(pattern);
    }
    for (const Pattern& pattern : solution_.bars) {
      master_.add(pattern);
    }
  }

  /// Every pattern there is, where there are few: then whole numbers miss nothing.
  void addAllIfFew() {
    std::vector<Pattern> all;
    Pattern none;
    if (listPatterns(0, 0, none, all)) {
      for (const Pattern& pattern : all) {
        master_.add(pattern);
      }
    }
  }

  /// Patterns of what `begun` holds and types from `type` on; false where there are too many.
  bool listPatterns(int type, Hundredths weight, Pattern& begun, std::vector<Pattern>& all) const {
    if (type == static_cast<int>(problem_.weight.size())) {
      begun.stock = smallestStock(problem_, weight);
      if (!begun.pieces.empty()) {
        all.push_back(begun);
      }
      return all.size() <= kFewPatterns;
    }
    const Hundredths room = problem_.capacity.back() - weight;
    const auto most = std::min<Hundredths>(problem_.demand[type], room / problem_.weight[type]);
    for (int count = 0; count <= static_cast<int>(most); ++count) {
      if (count > 0) {
        begun.pieces.push_back({type, count});
      }
      const bool is_listed =
          listPatterns(type + 1, weight + count * problem_.weight[type], begun, all);
      if (count > 0) {
        begun.pieces.pop_back();
      }
      if (!is_listed) {
        return false;
      }
    }
    return true;
  }

  bool isSpent(std::int64_t most) const {
    return effort_ + kLinearEffort * master_.effort() > most;
  }

  /// Columns for `demand` until no pattern would help the linear program, or until it promises
  /// enough: with what is `cut` already, a plan that reaches the bound. Raises the bound where
  /// nothing is cut.
  bool generate(const std::vector<int>& demand, Hundredths cut, std::int64_t most_effort) {
    master_.setDemand(demand);
    for (int round = 0; round < kMostRounds; ++round) {
      if (!master_.solve()) {
        return false;
      }
      if (cut + leastSum() <= solution_.bound || isSpent(most_effort)) {
        return true;
      }
      std::vector<std::int64_t> value;
      for (int type = 0; type < static_cast<int>(demand.size()); ++type) {
        value.push_back(
            static_cast<std::int64_t>(std::floor(std::max(0.0, master_.dual(type)) * kDualScale)));
      }
      if (!addPatterns(demand, value, cut == 0)) {
        return true;
      }
    }
    return true;
  }

  /// What the linear program promises, up to the next sum of stock lengths; proves nothing.
  Hundredths leastSum() const {
    return sums_.atLeast(static_cast<Hundredths>(std::ceil(master_.value() * (1 - kLinearNoise))));
  }

  /// The pattern of each stock that is worth most beyond its cost.
  bool addPatterns(const std::vector<int>& demand, const std::vector<std::int64_t>& value,
                   bool is_whole) {
    bool is_better = false;
    long double share = 1;  // by which duals are too high for some pattern
    for (int k = 0; k < static_cast<int>(problem_.stock.size()); ++k) {
      const std::int64_t cost = problem_.stock[k] * kDualScale;
      const Filling filling =
          bestFilling({problem_.weight, value, demand, problem_.capacity[k], cost, kMostStates});
      effort_ += filling.effort;
      share =
          std::min(share, static_cast<long double>(cost) / static_cast<long double>(filling.upper));
      if (master_.add({k, filling.pieces})) {
        is_better = true;
      }
    }
    if (is_whole) {
      raiseBound(value, share);
    }
    return is_better;
  }

  /// Duals shrunk until no pattern is worth more than it costs bound every plan from below (Farley,
  /// A note on bounding a class of linear programming problems, Operations Research 38, 1990; from
  /// memory).
  void raiseBound(const std::vector<std::int64_t>& value, long double share) {
    std::int64_t sum = 0;
    for (std::size_t i = 0; i < value.size(); ++i) {
      sum += value[i] * problem_.demand[i];
    }
    // Exact as long as no dual is shrunk; else down by more than rounding can have added.
    constexpr long double kRounding = 1e-12L;
    const long double scaled =
        share < 1 ? static_cast<long double>(sum) * share * (1 - kRounding) : sum;
    const auto least = static_cast<Hundredths>(std::ceil(scaled / kDualScale));
    solution_.bound = std::max(solution_.bound, sums_.atLeast(least));
  }

  /// Cuts what the linear program wants most often and goes on with the rest. Where that cannot
  /// become better than the best plan, `detours` times something else is tried.
  void dive(const std::vector<int>& demand, std::vector<Pattern>& cut, int detours) {
    const Hundredths before = bought(problem_, cut);
    if (isDone() || isSpent(kMostEffort) || !generate(demand, before, kMostEffort) ||
        before + leastSum() >= bought(problem_, solution_.bars)) {
      return;
    }
    std::vector<int> rest = demand;
    const std::size_t cut_before = cut.size();
    const std::vector<int> wanted = cutWholes(rest, cut);
    if (std::all_of(rest.begin(), rest.end(), [](int count) { return count == 0; })) {
      offer(tidied(problem_, cut));
    }
    for (int i = 0; i < static_cast<int>(wanted.size()) && i <= detours && !isDone(); ++i) {
      const Pattern pattern = master_.patterns()[wanted[i]];
      std::vector<int> left = rest;
      take(left, pattern);
      cut.push_back(pattern);
      dive(left, cut, detours - i);
      cut.pop_back();
    }
    cut.resize(cut_before);
  }

  /// Cuts the whole parts of what the linear program wants; gives the patterns that it wants in
  /// part and that still fit, most wanted first.
  std::vector<int> cutWholes(std::vector<int>& rest, std::vector<Pattern>& cut) const {
    std::vector<std::pair<double, int>> parts;
    for (int i = 0; i < static_cast<int>(master_.patterns().size()); ++i) {
      const double times = master_.times(i);
      const double whole = std::floor(times + kTimesNoise);
      for (int n = 0; n < static_cast<int>(whole) && fits(rest, master_.patterns()[i]); ++n) {
        take(rest, master_.patterns()[i]);
        cut.push_back(master_.patterns()[i]);
      }
      if (times - whole > kTimesNoise) {
        parts.emplace_back(whole - times, i);
      }
    }
    std::sort(parts.begin(), parts.end());
    std::vector<int> wanted;
    for (const auto& [part, i] : parts) {
      if (fits(rest, master_.patterns()[i])) {
        wanted.push_back(i);
      }
    }
    return wanted;
  }

  static bool fits(const std::vector<int>& rest, const Pattern& pattern) {
    return std::all_of(pattern.pieces.begin(), pattern.pieces.end(),
                       [&](const TypeCount& p) { return p.count <= rest[p.type]; });
  }

  static void take(std::vector<int>& rest, const Pattern& pattern) {
    for (const auto& [type, count] : pattern.pieces) {
      rest[type] -= count;
    }
  }

  const Problem& problem_;
  AttainableSums sums_;
  Master master_;
  Solution solution_;
  std::int64_t effort_ = 0;
};

}  // namespace

Solution leastBought(const Problem& problem) {
  return Search(problem).run();
}

}  // namespace leafstack::stock
