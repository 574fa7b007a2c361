// Stock planning in whole numbers: what the plan, its heuristics and its solver share.
#pragma once

#include <cstdint>
#include <vector>

namespace leafstack::stock {

/// Hundredths of a mm.
using Hundredths = std::int64_t;

/// Pieces of equal length are one type. A bar of stock k holds any pieces whose weights (length and
/// one kerf each) sum up to capacity[k] (length less trim, and one kerf) or less.
struct Problem {
  std::vector<Hundredths> weight;    ///< by type, falling, > 0
  std::vector<int> demand;           ///< by type, > 0
  std::vector<Hundredths> stock;     ///< by stock, rising; each holds some type
  std::vector<Hundredths> capacity;  ///< by stock; the last holds every type
};

struct TypeCount {
  int type = 0, count = 0;

  auto operator<=>(const TypeCount&) const = default;
};

/// What is cut from one bar: types rising, counts > 0.
struct Pattern {
  int stock = 0;
  std::vector<TypeCount> pieces;

  auto operator<=>(const Pattern&) const = default;
};

Hundredths weightOf(const Problem& problem, const Pattern& pattern);
Hundredths bought(const Problem& problem, const std::vector<Pattern>& bars);

/// Cheapest stock that holds `weight`; -1 = none does.
int smallestStock(const Problem& problem, Hundredths weight);

/// Takes away what `bars` cut beyond the demand, bars left empty, and length that a shorter stock
/// does without.
std::vector<Pattern> tidied(const Problem& problem, const std::vector<Pattern>& bars);

/// A knapsack with a limited number of each type.
struct Knapsack {
  const std::vector<Hundredths>& weight;
  const std::vector<std::int64_t>& value;  ///< by type; up to 0 = left out
  const std::vector<int>& most;            ///< by type
  Hundredths capacity = 0;
  std::int64_t beyond = 0;      ///< only fillings worth more are wanted
  std::size_t most_states = 0;  ///< the search forgets the least promising beyond this number
};

struct Filling {
  std::vector<TypeCount> pieces;  ///< empty = none found worth more than `beyond`
  std::int64_t value = 0;
  std::int64_t upper = 0;   ///< no filling is worth more (nor is `upper` ever less than `beyond`)
  std::int64_t effort = 0;  ///< states looked at
};

/// The most valuable filling, by dynamic programming over those fillings that no lighter one equals
/// in value. Exact (value == upper) unless it had to forget.
Filling bestFilling(const Knapsack& knapsack);

/// Sums of stock lengths.
class AttainableSums {
 public:
  explicit AttainableSums(const std::vector<Hundredths>& stock);
  /// Least sum that is not less than `length`.
  Hundredths atLeast(Hundredths length) const;

 private:
  Hundredths step_ = 0, modulus_ = 1;  ///< common divisor of all; shortest stock in steps
  std::vector<Hundredths> least_;      ///< least sum of each residue, in steps; -1 = none
};

/// First fit, longest piece first, bars opened in the one stock length that does best.
std::vector<Pattern> firstFitDecreasing(const Problem& problem);

/// Bars filled one after the other by value, several times over; pieces that were left to bars of
/// much waste are worth more the next time. Stops at `target`. Every pattern met goes to `met`.
std::vector<Pattern> fillByValue(const Problem& problem, Hundredths target,
                                 std::vector<Pattern>& met);

}  // namespace leafstack::stock
