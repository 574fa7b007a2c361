#include "generator/shop/stock/stock_patterns.h"

#include <algorithm>
#include <numeric>

namespace leafstack::stock {

Hundredths weightOf(const Problem& problem, const Pattern& pattern) {
  Hundredths sum = 0;
  for (const auto& [type, count] : pattern.pieces) {
    sum += problem.weight[type] * count;
  }
  return sum;
}

Hundredths bought(const Problem& problem, const std::vector<Pattern>& bars) {
  Hundredths sum = 0;
  for (const Pattern& bar : bars) {
    sum += problem.stock[bar.stock];
  }
  return sum;
}

int smallestStock(const Problem& problem, Hundredths weight) {
  const auto found = std::lower_bound(problem.capacity.begin(), problem.capacity.end(), weight);
  return found == problem.capacity.end() ? -1 : static_cast<int>(found - problem.capacity.begin());
}

std::vector<Pattern> tidied(const Problem& problem, const std::vector<Pattern>& bars) {
  std::vector<int> missing = problem.demand;
  std::vector<Pattern> tidy;
  for (const Pattern& bar : bars) {
    Pattern kept;
    for (const auto& [type, count] : bar.pieces) {
      const int taken = std::min(count, missing[type]);
      missing[type] -= taken;
      if (taken > 0) {
        kept.pieces.push_back({type, taken});
      }
    }
    if (!kept.pieces.empty()) {
      kept.stock = smallestStock(problem, weightOf(problem, kept));
      tidy.push_back(std::move(kept));
    }
  }
  return tidy;
}

AttainableSums::AttainableSums(const std::vector<Hundredths>& stock) {
  for (const Hundredths length : stock) {
    step_ = std::gcd(step_, length);
  }
  modulus_ = stock.front() / step_;
  least_.assign(static_cast<std::size_t>(modulus_), -1);
  least_[0] = 0;
  // One stock at a time, twice round every cycle of residues it makes (Boecker and Liptak, A fast
  // and simple algorithm for the money changing problem, Algorithmica 48, 2007; from memory).
  for (const Hundredths length : stock) {
    const Hundredths added = length / step_;
    const Hundredths cycles = std::gcd(modulus_, added);
    for (Hundredths start = 0; start < cycles; ++start) {
      Hundredths at = start;
      for (Hundredths turn = 0; turn < 2 * (modulus_ / cycles); ++turn) {
        const Hundredths next = (at + added) % modulus_;
        if (least_[at] >= 0 && (least_[next] < 0 || least_[at] + added < least_[next])) {
          least_[next] = least_[at] + added;
        }
        at = next;
      }
    }
  }
}

Hundredths AttainableSums::atLeast(Hundredths length) const {
  Hundredths sum = std::max<Hundredths>(0, (length + step_ - 1) / step_);
  // Ends at a multiple of the shortest stock at the latest.
  while (least_[sum % modulus_] < 0 || least_[sum % modulus_] > sum) {
    ++sum;
  }
  return sum * step_;
}

}  // namespace leafstack::stock
