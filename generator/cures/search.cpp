#include "generator/cures/search.h"

#include <algorithm>
#include <set>
#include <string>
#include <utility>

#include "generator/cures/changes.h"

namespace leafstack {
namespace {

/// Of single changes for one warning.
constexpr std::size_t kMostSingles = 30;
/// Gates that are built side by side before the first of them is looked at.
constexpr std::size_t kAtOnce = 4;
/// Of changes put on top of each other, and of rows of which they are.
constexpr int kMostRounds = 12;
constexpr std::size_t kMostRows = 5;
/// Changes of a round that bring this share of what the best does are tried with it; common
/// practice, no source, as are the next two.
constexpr double kNearlyAsMuch = 0.25;
/// A row is taken to bring up to this many times what its first steps promise; no more is tried of
/// one that would not do even so.
constexpr double kHopeful = 2;
/// A change that brings less than this share is none.
constexpr double kLeastGain = 1e-3;
/// Where clashes are to be cured every change is checked: so many times the pairs.
constexpr long kClashChecks = 8;
/// What counts as excess of a warning without a figure.
constexpr double kWithoutFigure = 1;

/// Of clashes: how many were found.
double excessOf(const Outcome& outcome, const std::string& id) {
  double sum = id == kClash && outcome.clash ? outcome.clash->findings : 0;
  for (const Warning& warning : outcome.warnings) {
    const bool counts =
        id == kAllWarnings ? warning.against != Against::kNothing : warning.id == id;
    const bool has_figure = warning.excess > 0 || id != kAllWarnings;
    sum += counts ? (has_figure ? warning.excess : kWithoutFigure) : 0;
  }
  return sum;
}

/// Changes for one reason, or for all there are: each once.
std::vector<Change> changesOf(const Outcome& outcome, const std::string& id) {
  if (id != kAllWarnings) {
    return changesFor(id, outcome.spec, outcome.timesAllowed(id));
  }
  std::vector<Change> all;
  std::set<std::pair<int, int>> known;
  for (const std::string& one : outcome.reasons()) {
    for (Change& change : changesFor(one, outcome.spec, outcome.timesAllowed(one))) {
      if (known.emplace(change.row, change.step).second) {
        all.push_back(std::move(change));
      }
    }
  }
  return all;
}

/// Whether nothing is wrong that was not before.
bool bringsNothingNew(const Outcome& before, const Outcome& after) {
  return std::all_of(after.warnings.begin(), after.warnings.end(), [&](const Warning& warning) {
    return after.count(warning.id) <= before.count(warning.id);
  });
}

bool isClear(const ClashOutcome& clash) {
  return clash.verdict == Verdict::kClear || clash.verdict == Verdict::kTight;
}

int rankOf(Verdict verdict) {
  return verdict == Verdict::kClear ? 0 : verdict == Verdict::kTight ? 1 : 2;
}

/// Looks for what rids a gate of one warning, on top of settings that are taken for granted.
class Search {
 public:
  Search(Trials& trials, std::string_view id, const Start& start)
      : trials_(trials),
        id_(id),
        base_(start.settings),
        before_(start.outcome),
        others_may_come_(start.others_may_come || id == kAllWarnings),
        most_instances_(start.most_instances),
        most_pairs_(start.most_pairs),
        clash_pairs_(trials.checkedPairs() +
                     kClashChecks * std::max(0L, start.most_pairs - trials.checkedPairs())) {}

  Found run() {
    singles();
    if (!found_.settings && excessOf(before_, id_) > 0) {
      climb();
    }
    return std::move(found_);
  }

 private:
  /// Others on the way to a gate that is ready may come and go.
  bool mayCome(const Outcome& outcome) const {
    return others_may_come_ ? !isHazardNew(before_, outcome) : bringsNothingNew(before_, outcome);
  }

  bool mayGoOn() const {
    return trials_.builtInstances() < most_instances_ && (!mustProve() || trials_.mayProve()) &&
           (!isClash() || trials_.checkedPairs() < clash_pairs_);
  }
  bool mustProve() const { return id_ == kAllWarnings || isClash(); }
  bool isClash() const { return id_ == kClash; }

  /// What came of them: of clashes with the clash check, of those that may be taken.
  std::vector<Outcome> outcomes(const std::vector<Settings>& all) {
    std::vector<Outcome> found = trials_.outcomes(all);
    for (std::size_t i = 0; isClash() && i < all.size() && mayGoOn(); ++i) {
      if (found[i].isMade() && mayCome(found[i])) {
        found[i] = trials_.proved(all[i]);
      }
    }
    return found;
  }

  bool isCure(const Outcome& outcome) const {
    const bool is_gone = id_ == kAllWarnings ? outcome.reasons().empty()
                         : isClash()         ? outcome.clash && isClear(*outcome.clash)
                                             : outcome.count(id_) == 0;
    return outcome.isMade() && is_gone && mayCome(outcome);
  }

  /// Takes the settings where they cure; what they do to clashes is asked last.
  bool take(const Settings& settings, const Outcome& outcome) {
    if (!isCure(outcome)) {
      return false;
    }
    const bool is_asked =
        trials_.mayProve() && (mustProve() || trials_.checkedPairs() < most_pairs_);
    if (mustProve() && !is_asked) {
      return false;
    }
    const Outcome proved = is_asked ? trials_.proved(settings) : outcome;
    const std::vector<std::string> left = proved.reasons();
    const bool clashes = std::find(left.begin(), left.end(), kClash) != left.end();
    if ((is_asked && !clashesNoWorse(before_, proved, others_may_come_)) ||
        (isClash() && clashes) || (id_ == kAllWarnings && !left.empty())) {
      return false;
    }
    found_.settings = settings;
    found_.outcome = proved;
    return true;
  }

  /// The same without what is not needed beside the rest.
  bool takeNeeded(const Settings& settings, const Outcome& outcome) {
    if (!isCure(outcome)) {
      return false;
    }
    Settings needed = settings;
    for (std::size_t i = base_.size(); i < needed.size();) {
      Settings fewer = needed;
      fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
      ++found_.tried;
      if (isCure(outcomes({fewer}).front())) {
        needed = std::move(fewer);
      } else {
        ++i;
      }
    }
    return take(needed, outcomes({needed}).front()) || take(settings, outcome);
  }

  /// Steps of a row of which the one before brought nothing are left out.
  void singles() {
    const std::vector<Change> changes = changesOf(before_, id_);
    for (const Change& change : changes) {
      seen_.insert(change.row);
    }
    std::size_t next = 0;
    while (next < changes.size() && found_.tried < static_cast<int>(kMostSingles) && mayGoOn()) {
      std::vector<const Change*> batch;
      std::vector<Settings> all;
      for (; next < changes.size() && batch.size() < kAtOnce; ++next) {
        const bool is_second = std::any_of(batch.begin(), batch.end(), [&](const Change* one) {
          return one->row == changes[next].row;
        });
        if (is_second) {
          break;  // whether it is worth it, the first will tell
        }
        if (!useless_.contains(changes[next].row)) {
          batch.push_back(&changes[next]);
          all.push_back(merged(base_, changes[next].settings));
        }
      }
      const std::vector<Outcome> found = outcomes(all);
      for (std::size_t i = 0; i < batch.size(); ++i) {
        ++found_.tried;
        if (take(all[i], found[i])) {
          return;
        }
        learn(*batch[i], found[i]);
      }
    }
  }

  void learn(const Change& change, const Outcome& outcome) {
    const double before = excessOf(before_, id_);
    if (!outcome.isMade() || before <= 0 || (isClash() && !outcome.clash)) {
      return;
    }
    const double gain = before - excessOf(outcome, id_);
    if (kHopeful * gain * change.steps_in_all / change.step < before) {
      useless_.insert(change.row);
    }
    if (change.step == 1 && gain > kLeastGain * before) {
      helpful_.emplace_back(gain / change.size, change.row);
    }
  }

  /// The rows whose first step brought most for its size.
  std::set<int> bestRows() {
    std::stable_sort(helpful_.begin(), helpful_.end(),
                     [](const auto& one, const auto& other) { return one.first > other.first; });
    std::set<int> rows;
    for (std::size_t i = 0; i < helpful_.size() && rows.size() < kMostRows; ++i) {
      rows.insert(helpful_[i].second);
    }
    return rows;
  }

  /// Steps of the best rows on top of each other, and of those for what comes up on the way.
  void climb() {
    const std::set<int> rows = bestRows();
    Settings reached = base_;
    Outcome now = before_;
    for (int round = 0; round < kMostRounds && !found_.settings && mayGoOn(); ++round) {
      std::vector<Change> steps;
      for (Change& change : changesOf(now, id_)) {
        if (change.step == 1 && (rows.contains(change.row) || !seen_.contains(change.row))) {
          steps.push_back(std::move(change));
        }
      }
      if (!climbOne(steps, reached, now)) {
        return;
      }
    }
  }

  /// The step that brings most for its size, or all that bring nearly as much where they bring more
  /// together.
  bool climbOne(const std::vector<Change>& steps, Settings& reached, Outcome& now) {
    std::vector<Settings> all;
    for (const Change& step : steps) {
      all.push_back(merged(reached, step.settings));
    }
    const std::vector<Outcome> found = outcomes(all);
    const double before = excessOf(now, id_);
    std::vector<double> worth;
    int best = -1;
    for (std::size_t i = 0; i < all.size(); ++i) {
      ++found_.tried;
      if (takeNeeded(all[i], found[i])) {
        return true;
      }
      const double gained = gain(before, found[i]);
      worth.push_back(gained > kLeastGain * before ? gained / steps[i].size : 0);
      best = worth.back() > (best < 0 ? 0 : worth[best]) ? static_cast<int>(i) : best;
    }
    if (best < 0) {
      return false;
    }
    Settings together = reached;
    for (std::size_t i = 0; i < all.size(); ++i) {
      if (worth[i] > kNearlyAsMuch * worth[best]) {
        together = merged(std::move(together), steps[i].settings);
      }
    }
    together = merged(std::move(together), steps[best].settings);
    const Outcome outcome = outcomes({together}).front();
    ++found_.tried;
    if (takeNeeded(together, outcome)) {
      return true;
    }
    const bool is_better = gain(before, outcome) > gain(before, found[best]);
    reached = is_better ? together : all[best];
    now = is_better ? outcome : found[best];
    return true;
  }

  /// What an outcome takes off the warning; nothing where it brings another.
  double gain(double before, const Outcome& outcome) const {
    const bool is_known = outcome.isMade() && (!isClash() || outcome.clash);
    return is_known && mayCome(outcome) ? before - excessOf(outcome, id_) : 0;
  }

  Trials& trials_;
  const std::string id_;
  const Settings base_;
  const Outcome& before_;
  const bool others_may_come_;
  const long most_instances_, most_pairs_, clash_pairs_;
  std::set<int> seen_;  ///< rows that the gate's first warnings ask for
  std::set<int> useless_;
  std::vector<std::pair<double, int>> helpful_;
  Found found_;
};

}  // namespace

bool isHazardNew(const Outcome& before, const Outcome& after) {
  return std::any_of(after.warnings.begin(), after.warnings.end(), [&](const Warning& warning) {
    return warning.is_hazard && after.count(warning.id) > before.count(warning.id);
  });
}

bool clashesNoWorse(const Outcome& before, const Outcome& after, bool may_be_tight) {
  return !before.clash || (may_be_tight && isClear(*after.clash)) ||
         (rankOf(after.clash->verdict) <= rankOf(before.clash->verdict) &&
          after.clash->findings <= before.clash->findings);
}

Found searched(Trials& trials, std::string_view id, const Start& start) {
  return Search(trials, id, start).run();
}

}  // namespace leafstack
