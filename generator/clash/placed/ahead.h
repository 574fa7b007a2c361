// Searches of one gate's effort, done ahead on all cores.
//
// What a search may take hangs on what those before it took, so they have an order. But one that
// takes little goes the same way whatever it was granted: then it does not matter when it was done.
// What was done ahead counts only where it goes as it would in its turn; all else is done again.
#pragma once

#include <algorithm>
#include <atomic>
#include <functional>
#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "generator/geometry/in_parallel.h"
#include "generator/geometry/moving/effort.h"

namespace leafstack {

/// `Done` has a member `effort`, what is left of what it was granted. Searches must be safe to run
/// at once, and may ask of their effort what Effort::goesAlike() says.
template <class Id, class Item, class Done>
class Searches {
 public:
  using Search = std::function<Done(const Item&, const Effort& granted)>;

  Searches(const GateEffort::Grants& grants, Search search)
      : effort_(grants), search_(std::move(search)) {}

  /// Says which searches will be asked for, in this order, and begins with them.
  void expect(std::vector<std::pair<Id, Item>> coming) {
    for (auto& [id, item] : coming) {
      if (place_of_.emplace(id, coming_.size()).second) {
        coming_.push_back({std::move(item), std::nullopt, false});
      }
    }
    doFrom(0);
  }

  /// What the search says in its turn, which is now.
  Done inTurn(const Id& id, const Item& item) {
    const Effort granted = effort_.grant();
    const auto at = place_of_.find(id);
    if (at == place_of_.end()) {
      return settled(search_(item, granted));
    }
    Coming& own = coming_[at->second];
    own.is_asked = true;
    if (!serves(own, granted)) {
      doFrom(at->second);
    }
    return settled(*own.done);
  }

  /// For a search of another kind, in its turn.
  Effort grant() const { return effort_.grant(); }
  void settle(const Effort& done) { effort_.settle(done); }

 private:
  struct Coming {
    Item item;
    std::optional<Done> done;
    bool is_asked = false;
  };

  static bool serves(const Coming& one, const Effort& granted) {
    return one.done && one.done->effort.goesAlike(granted);
  }

  Done settled(Done done) {
    effort_.settle(done.effort);
    return done;
  }

  /// That at `first` and those after it, until so much is taken that the next are granted less.
  void doFrom(std::size_t first) {
    const Effort granted = effort_.grant();
    std::vector<Coming*> open;
    for (std::size_t i = first; i < coming_.size(); ++i) {
      if (i == first || (!coming_[i].is_asked && !serves(coming_[i], granted))) {
        open.push_back(&coming_[i]);
      }
    }
    std::atomic<long long> left = effort_.untilHalf();
    std::atomic<std::size_t> next = 0;
    inParallel(static_cast<int>(open.size()), [&](int) {
      const std::size_t i = next++;  // in order, whoever comes
      if (i == 0 || left > 0) {
        Coming& one = *open[i];
        one.done.emplace(search_(one.item, granted));
        left -= one.done->effort.taken();
      }
    });
  }

  GateEffort effort_;
  Search search_;
  std::vector<Coming> coming_;
  std::map<Id, std::size_t> place_of_;
};

}  // namespace leafstack
