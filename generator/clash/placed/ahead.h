// Searches of one gate's effort, done ahead on all cores.
//
// What a search may take hangs on what those before it took, so they have an order. Nearly always
// each is granted the same, though: then it does not matter when it was done. What was done ahead
// counts only where it was granted what it would be in its turn; the others are done in theirs.
#pragma once

#include <atomic>
#include <optional>
#include <vector>

#include "generator/geometry/in_parallel.h"
#include "generator/geometry/moving/effort.h"

namespace leafstack {

/// What `search(i, effort)` says for 0 <= i < count, of those there was effort for. `Done` has a
/// member `effort`. Searches must be safe to run at once.
template <class Done, class Search>
std::vector<std::optional<Done>> doneAhead(int count, const GateEffort& effort,
                                           const Search& search) {
  std::vector<std::optional<Done>> done(static_cast<std::size_t>(count));
  std::atomic<long long> left = effort.untilLess();
  inParallel(count, [&](int i) {
    if (left > 0) {
      Done& one = done[static_cast<std::size_t>(i)].emplace(search(i, effort.grant()));
      left -= one.effort.taken();
    }
  });
  return done;
}

}  // namespace leafstack
