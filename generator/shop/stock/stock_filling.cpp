// The knapsack of stock planning.
#include <algorithm>
#include <numeric>

#include "generator/shop/stock/stock_patterns.h"

namespace leafstack::stock {
namespace {

struct State {
  Hundredths weight = 0;
  std::int64_t value = 0;
  int trace = -1;  ///< last piece put in; -1 = empty
};

struct Trace {
  int before = -1, type = 0;
};

class Filler {
 public:
  explicit Filler(const Knapsack& sack) : sack_(sack), best_value_(sack.beyond) {}

  Filling run() {
    states_.push_back({});
    for (const int type : byDensity()) {
      forgetHopeless(type);
      forgetExcess(type);
      addCopies(type);
    }
    return result();
  }

 private:
  std::vector<int> byDensity() const {
    std::vector<int> types;
    for (std::size_t i = 0; i < sack_.weight.size(); ++i) {
      if (sack_.value[i] > 0 && sack_.most[i] > 0 && sack_.weight[i] <= sack_.capacity) {
        types.push_back(static_cast<int>(i));
      }
    }
    std::stable_sort(types.begin(), types.end(), [&](int a, int b) {
      return sack_.value[a] * sack_.weight[b] > sack_.value[b] * sack_.weight[a];
    });
    return types;
  }

  /// The rest filled with `type`, the densest left, and with fractions of it.
  std::int64_t upper(const State& state, int type) const {
    return state.value + (sack_.capacity - state.weight) * sack_.value[type] / sack_.weight[type];
  }

  void forgetHopeless(int type) {
    std::erase_if(states_, [&](const State& state) { return upper(state, type) <= best_value_; });
  }

  /// Keeps the most promising, in order of weight.
  void forgetExcess(int type) {
    if (states_.size() <= sack_.most_states) {
      return;
    }
    std::vector<std::int64_t> uppers;
    for (const State& state : states_) {
      uppers.push_back(upper(state, type));
    }
    const auto cut = uppers.begin() + static_cast<std::ptrdiff_t>(sack_.most_states);
    std::nth_element(uppers.begin(), cut, uppers.end(), std::greater<>());
    const std::int64_t limit = *cut;
    forgotten_ = std::max(forgotten_, limit);
    std::erase_if(states_, [&](const State& state) { return upper(state, type) <= limit; });
  }

  void addCopies(int type) {
    std::vector<State> last = states_;
    for (int copy = 0; copy < sack_.most[type] && !last.empty(); ++copy) {
      std::vector<State> fresh;
      for (const State& state : last) {
        const State next{state.weight + sack_.weight[type], state.value + sack_.value[type],
                         static_cast<int>(traces_.size())};
        if (next.weight > sack_.capacity) {
          break;  // in order of weight
        }
        if (upper(next, type) <= best_value_ && next.value <= best_value_) {
          continue;
        }
        traces_.push_back({state.trace, type});
        fresh.push_back(next);
        if (next.value > best_value_) {
          best_value_ = next.value;
          best_trace_ = next.trace;
        }
      }
      effort_ += static_cast<std::int64_t>(last.size() + states_.size());
      merge(fresh);
      last = std::move(fresh);
    }
  }

  /// Into states_, leaving out what a lighter or equal state equals in value.
  void merge(const std::vector<State>& fresh) {
    std::vector<State> all(states_.size() + fresh.size());
    std::merge(states_.begin(), states_.end(), fresh.begin(), fresh.end(), all.begin(),
               [](const State& a, const State& b) {
                 return a.weight != b.weight ? a.weight < b.weight : a.value > b.value;
               });
    states_.clear();
    for (const State& state : all) {
      if (states_.empty() || state.value > states_.back().value) {
        states_.push_back(state);
      }
    }
  }

  Filling result() const {
    Filling filling;
    filling.value = best_value_;
    filling.upper = std::max(best_value_, forgotten_);
    filling.effort = effort_;
    std::vector<int> types;
    for (int at = best_trace_; at >= 0; at = traces_[at].before) {
      types.push_back(traces_[at].type);
    }
    std::sort(types.begin(), types.end());
    for (const int type : types) {
      if (filling.pieces.empty() || filling.pieces.back().type != type) {
        filling.pieces.push_back({type, 0});
      }
      ++filling.pieces.back().count;
    }
    return filling;
  }

  const Knapsack& sack_;
  std::vector<State> states_;  ///< weight and value both rising
  std::vector<Trace> traces_;
  std::int64_t best_value_ = 0, forgotten_ = 0, effort_ = 0;
  int best_trace_ = -1;
};

}  // namespace

Filling bestFilling(const Knapsack& knapsack) {
  return Filler(knapsack).run();
}

}  // namespace leafstack::stock
