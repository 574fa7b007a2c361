#include "generator/shop/stock/stock_plan.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>
#include <utility>

#include "generator/shop/stock/stock_search.h"

namespace leafstack {
namespace {

using stock::Hundredths;

constexpr double kMostLength_mm = 100000;
constexpr long kMostPieces = 100000;
/// Sums of decimal fractions come out this much beside whole hundredths, in hundredths: not to be
/// rounded to the next.
constexpr double kDecimalNoise = 1e-4;

Hundredths roundedUp(double length_mm) {
  return static_cast<Hundredths>(std::ceil(length_mm * 100 - kDecimalNoise));
}

Hundredths roundedDown(double length_mm) {
  return static_cast<Hundredths>(std::floor(length_mm * 100 + kDecimalNoise));
}

double millimetres(Hundredths length) {
  return static_cast<double>(length) / 100;
}

/// Comparisons are written so that NaN fails them.
void check(const std::vector<StockPiece>& pieces, const StockRules& rules) {
  long count = 0;
  for (const StockPiece& piece : pieces) {
    if (!(piece.length_mm > 0) || !std::isfinite(piece.length_mm) || piece.quantity < 0) {
      throw std::invalid_argument("stock plan: piece " + piece.mark +
                                  " has no length above 0, or a negative quantity");
    }
    count += piece.quantity;
  }
  if (count > kMostPieces) {
    throw std::invalid_argument("stock plan: more than " + std::to_string(kMostPieces) + " pieces");
  }
  for (const double length_mm : rules.stock_mm) {
    if (!(length_mm > 0 && length_mm <= kMostLength_mm)) {
      throw std::invalid_argument("stock plan: stock lengths go from above 0 to 100 m");
    }
  }
  for (const double width_mm : {rules.kerf_mm, rules.trim_mm}) {
    if (!(width_mm >= 0 && width_mm <= kMostLength_mm)) {
      throw std::invalid_argument("stock plan: kerf and trim go from 0 to 100 m");
    }
  }
}

struct Saw {
  Hundredths kerf = 0, trim = 0;
};

/// Pieces still to be laid, by weight, in the order they came in.
using Waiting = std::map<Hundredths, std::vector<StockPiece>, std::greater<>>;

/// A length and its kerf. Whatever is cut is at least a hundredth long: a bar holds only so many.
Hundredths weightOf(const StockPiece& piece, const Saw& saw) {
  return std::max<Hundredths>(1, roundedUp(piece.length_mm)) + saw.kerf;
}

/// Sorts out what no bar holds; the rest by weight.
Waiting waitingPieces(const std::vector<StockPiece>& pieces, Hundredths capacity, const Saw& saw,
                      std::vector<StockPiece>& too_long) {
  Waiting waiting;
  for (const StockPiece& piece : pieces) {
    if (piece.quantity == 0) {
      continue;
    }
    // Before it is rounded: lengths without bound would not fit whole numbers.
    const bool is_huge = piece.length_mm > kMostLength_mm;
    if (is_huge || weightOf(piece, saw) > capacity) {
      too_long.push_back(piece);
    } else {
      waiting[weightOf(piece, saw)].push_back(piece);
    }
  }
  return waiting;
}

stock::Problem problemOf(const Waiting& waiting, const std::vector<Hundredths>& stock,
                         const Saw& saw) {
  stock::Problem problem;
  for (const auto& [weight, pieces] : waiting) {
    int demand = 0;
    for (const StockPiece& piece : pieces) {
      demand += piece.quantity;
    }
    problem.weight.push_back(weight);
    problem.demand.push_back(demand);
  }
  for (const Hundredths length : stock) {
    const Hundredths capacity = length - saw.trim + saw.kerf;
    if (capacity >= problem.weight.back()) {
      problem.stock.push_back(length);
      problem.capacity.push_back(capacity);
    }
  }
  return problem;
}

/// The next piece of this weight, taken off what waits.
StockPiece& nextOf(std::vector<StockPiece>& pieces) {
  return *std::find_if(pieces.begin(), pieces.end(),
                       [](const StockPiece& piece) { return piece.quantity > 0; });
}

StockBar laidOut(const stock::Problem& problem, const stock::Pattern& pattern, const Saw& saw,
                 Waiting& waiting) {
  StockBar bar;
  const Hundredths length = problem.stock[pattern.stock];
  bar.stock_mm = millimetres(length);
  Hundredths at = saw.trim;
  for (const auto& [type, count] : pattern.pieces) {
    const Hundredths weight = problem.weight[type];
    for (int i = 0; i < count; ++i) {
      StockPiece& piece = nextOf(waiting.at(weight));
      --piece.quantity;
      bar.cuts.push_back({piece.mark, piece.length_mm, millimetres(at)});
      at += weight;
    }
  }
  bar.offcut_mm = millimetres(std::max<Hundredths>(0, length - at));
  return bar;
}

void fillIn(StockPlan& plan, const stock::Problem& problem, const stock::Solution& solution) {
  const Hundredths bought = stock::bought(problem, solution.bars);
  plan.bought_mm = millimetres(bought);
  plan.lower_bound_mm = millimetres(solution.bound);
  for (const StockBar& bar : plan.bars) {
    for (const StockCut& cut : bar.cuts) {
      plan.needed_mm += cut.length_mm;
    }
  }
  plan.waste_share = (plan.bought_mm - plan.needed_mm) / plan.bought_mm;
  plan.gap_share = static_cast<double>(bought - solution.bound) / static_cast<double>(bought);
  plan.is_proved = bought == solution.bound;
}

Saw sawOf(const StockRules& rules) {
  return {roundedUp(rules.kerf_mm), roundedUp(rules.trim_mm)};
}

/// Stock lengths, each once, shortest first.
std::vector<Hundredths> stockOf(const StockRules& rules) {
  std::vector<Hundredths> stock;
  for (const double length_mm : rules.stock_mm) {
    stock.push_back(roundedDown(length_mm));
  }
  std::sort(stock.begin(), stock.end());
  stock.erase(std::unique(stock.begin(), stock.end()), stock.end());
  return stock;
}

/// What the longest bar holds: pieces and a kerf after each, of which the last may fall away.
Hundredths capacityOf(const std::vector<Hundredths>& stock, const Saw& saw) {
  return stock.empty() ? 0 : stock.back() - saw.trim + saw.kerf;
}

}  // namespace

std::vector<StockPiece> tooLongPieces(const std::vector<StockPiece>& pieces,
                                      const StockRules& rules) {
  check(pieces, rules);
  const Saw saw = sawOf(rules);
  std::vector<StockPiece> too_long;
  waitingPieces(pieces, capacityOf(stockOf(rules), saw), saw, too_long);
  return too_long;
}

StockPlan planStock(std::vector<StockPiece> pieces, const StockRules& rules) {
  check(pieces, rules);
  const Saw saw = sawOf(rules);
  const std::vector<Hundredths> stock = stockOf(rules);
  StockPlan plan;
  const Hundredths capacity = capacityOf(stock, saw);
  Waiting waiting = waitingPieces(pieces, capacity, saw, plan.too_long);
  if (waiting.empty()) {
    plan.is_proved = true;
    return plan;
  }
  const stock::Problem problem = problemOf(waiting, stock, saw);
  stock::Solution solution = stock::leastBought(problem);
  std::sort(solution.bars.begin(), solution.bars.end(),
            [](const stock::Pattern& a, const stock::Pattern& b) {
              return a.stock != b.stock ? a.stock > b.stock : a.pieces < b.pieces;
            });
  for (const stock::Pattern& pattern : solution.bars) {
    plan.bars.push_back(laidOut(problem, pattern, saw, waiting));
  }
  fillIn(plan, problem, solution);
  return plan;
}

}  // namespace leafstack
