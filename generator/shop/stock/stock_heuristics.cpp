// Plans without a solver: a start for it, and what remains where it fails.
#include <algorithm>
#include <numeric>

#include "generator/shop/stock/stock_patterns.h"

namespace leafstack::stock {
namespace {

/// Rounds of filling by value; more than these seldom find a better plan.
constexpr int kRounds = 20;
constexpr std::size_t kStatesAtMost = 1500;
/// Long pieces are worth up to this much more by length, since they are harder to place later.
constexpr std::int64_t kLongPieceShare = 16;
/// What a piece was worth weighs this much against what it cost in the bar it came to lie in.
constexpr std::int64_t kMemory = 3;

std::vector<Pattern> firstFit(const Problem& problem, int stock) {
  std::vector<Pattern> bars;
  std::vector<Hundredths> left;
  for (int type = 0; type < static_cast<int>(problem.weight.size()); ++type) {
    const Hundredths weight = problem.weight[type];
    std::size_t first_open = 0;  // equal pieces go on where the one before lay
    for (int i = 0; i < problem.demand[type]; ++i) {
      while (first_open < bars.size() && left[first_open] < weight) {
        ++first_open;
      }
      if (first_open == bars.size()) {
        const int opened = std::max(stock, smallestStock(problem, weight));
        bars.push_back({opened, {}});
        left.push_back(problem.capacity[opened]);
      }
      left[first_open] -= weight;
      std::vector<TypeCount>& pieces = bars[first_open].pieces;
      if (pieces.empty() || pieces.back().type != type) {
        pieces.push_back({type, 0});
      }
      ++pieces.back().count;
    }
  }
  return tidied(problem, bars);
}

/// One round: what lies in which bar, by `value`.
class ValueRound {
 public:
  ValueRound(const Problem& problem, std::vector<std::int64_t>& value)
      : problem_(problem), value_(value), missing_(problem.demand) {}

  std::vector<Pattern> run() {
    std::vector<Pattern> bars;
    while (std::any_of(missing_.begin(), missing_.end(), [](int count) { return count > 0; })) {
      bars.push_back(nextBar());
      // Repeated while it can be: thousands of equal pieces take few fillings.
      int times = 1;
      const auto fitsAgain = [&] {
        return std::all_of(bars.back().pieces.begin(), bars.back().pieces.end(),
                           [&](const TypeCount& p) { return missing_[p.type] >= p.count; });
      };
      take(bars.back());
      while (fitsAgain()) {
        take(bars.back());
        ++times;
      }
      bars.insert(bars.end(), times - 1, bars.back());
      learn(bars.back());
    }
    return tidied(problem_, bars);
  }

 private:
  Pattern nextBar() const {
    Hundredths rest = 0;
    for (std::size_t i = 0; i < missing_.size(); ++i) {
      rest += problem_.weight[i] * missing_[i];
    }
    Pattern best;
    std::int64_t best_value = 0;
    for (int stock = 0; stock < static_cast<int>(problem_.stock.size()); ++stock) {
      const Filling filling = bestFilling(
          {problem_.weight, value_, missing_, problem_.capacity[stock], 0, kStatesAtMost});
      if (best_value == 0 ||
          filling.value * problem_.stock[best.stock] > best_value * problem_.stock[stock]) {
        best = {stock, filling.pieces};
        best_value = filling.value;
      }
      if (rest <= problem_.capacity[stock]) {  // the last bar, and the shortest that does
        return {stock, filling.pieces};
      }
    }
    return best;
  }

  void take(const Pattern& bar) {
    for (const auto& [type, count] : bar.pieces) {
      missing_[type] -= count;
    }
  }

  void learn(const Pattern& bar) {
    const Hundredths used = weightOf(problem_, bar);
    const Hundredths capacity = problem_.capacity[bar.stock];
    const Hundredths longest = problem_.capacity.back();
    for (const auto& [type, count] : bar.pieces) {
      const Hundredths weight = problem_.weight[type];
      const std::int64_t cost = weight * capacity / used;
      const std::int64_t worth = cost + cost * weight / (kLongPieceShare * longest);
      value_[type] = std::max<std::int64_t>(1, (kMemory * value_[type] + worth) / (kMemory + 1));
    }
  }

  const Problem& problem_;
  std::vector<std::int64_t>& value_;
  std::vector<int> missing_;
};

}  // namespace

std::vector<Pattern> firstFitDecreasing(const Problem& problem) {
  std::vector<Pattern> best;
  for (int stock = 0; stock < static_cast<int>(problem.stock.size()); ++stock) {
    std::vector<Pattern> bars = firstFit(problem, stock);
    if (best.empty() || bought(problem, bars) < bought(problem, best)) {
      best = std::move(bars);
    }
  }
  return best;
}

std::vector<Pattern> fillByValue(const Problem& problem, Hundredths target,
                                 std::vector<Pattern>& met) {
  std::vector<std::int64_t> value = problem.weight;
  std::vector<Pattern> best;
  for (int round = 0; round < kRounds; ++round) {
    std::vector<Pattern> bars = ValueRound(problem, value).run();
    met.insert(met.end(), bars.begin(), bars.end());
    if (best.empty() || bought(problem, bars) < bought(problem, best)) {
      best = std::move(bars);
    }
    if (bought(problem, best) <= target) {
      break;
    }
  }
  return best;
}

}  // namespace leafstack::stock
