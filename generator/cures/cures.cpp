#include "generator/cures/cures.h"

#include <algorithm>

#include "generator/compare/arrangements.h"
#include "generator/compare/fixes.h"
#include "generator/cures/search.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

/// Warnings that are cured one after the other before all are tried at once.
constexpr int kMostTogether = 8;
/// Arrangements that fit, to start from.
constexpr std::size_t kMostFitting = 5;

std::vector<std::string> textsOf(const Settings& settings) {
  std::vector<std::string> texts;
  for (const Override& one : settings) {
    texts.push_back(inText(one));
  }
  return texts;
}

/// Cures one warning after the other, each on top of what cured those before.
class Together {
 public:
  Together(Trials& trials, const Outcome& start, const Settings& settings, int tried,
           const CureBudget& budget)
      : trials_(trials),
        start_(start),
        base_(settings),
        now_(start),
        settings_(settings),
        tried_(tried),
        most_instances_(trials.builtInstances() + budget.instances_together),
        most_pairs_(trials.checkedPairs() + budget.pairs),
        is_brief_(budget.is_brief) {}

  Cure run() {
    bool is_ready = oneByOne() && isReady(settings_);
    const Settings clear = clear_;
    if (!is_ready) {
      settings_ = base_;
      is_ready =
          take(searched(trials_, kAllWarnings, {start_, base_, most_instances_, most_pairs_}));
    }
    if (is_ready) {
      leaveOutNeedless();
    }
    Cure cure;
    cure.tried = tried_;
    cure.is_brief = is_brief_;
    cure.is_proved = is_ready;
    if (is_ready) {
      cure.sets = textsOf(settings_);
      const Outcome ready = trials_.proved(settings_);
      cure.is_tight = ready.clash && ready.clash->verdict == Verdict::kTight;
    } else if (clear.size() > base_.size()) {
      cure.is_proved = true;
      cure.sets = textsOf(clear);
      cure.leaves = trials_.outcome(clear).reasons();
    }
    return cure;
  }

 private:
  bool take(Found found) {
    tried_ += found.tried;
    if (!found.settings) {
      return false;
    }
    settings_ = std::move(*found.settings);
    now_ = std::move(found.outcome);
    return true;
  }

  /// Clashes, then what is soft: a stiffer frame changes what everything else carries.
  static const std::string& firstOf(const std::vector<std::string>& reasons) {
    const auto soft = std::find(reasons.begin(), reasons.end(), "frame-soft");
    return reasons.front() == kClash || soft == reasons.end() ? reasons.front() : *soft;
  }

  bool oneByOne() {
    for (int round = 0; round < kMostTogether; ++round) {
      const std::vector<std::string> reasons = now_.reasons();
      if (reasons.empty()) {
        return true;
      }
      const std::string& reason = firstOf(reasons);
      if (!take(searched(trials_, reason, {now_, settings_, most_instances_, most_pairs_, true}))) {
        return false;
      }
      if (reason == kClash) {
        clear_ = settings_;
      }
    }
    return now_.reasons().empty();
  }

  /// With the clash check.
  bool isReady(const Settings& settings) {
    const Outcome outcome = trials_.proved(settings);
    return outcome.clash && outcome.reasons().empty() && clashesNoWorse(start_, outcome, true);
  }

  /// What is no longer needed beside what came after it.
  void leaveOutNeedless() {
    Settings needed = settings_;
    for (std::size_t i = 0; needed.size() > 1 && i < needed.size();) {
      Settings fewer = needed;
      fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
      ++tried_;
      const Outcome outcome = trials_.outcome(fewer);
      if (outcome.isMade() && outcome.reasons().empty() && !isHazardNew(start_, outcome)) {
        needed = std::move(fewer);
      } else {
        ++i;
      }
    }
    if (needed.size() < settings_.size() && isReady(needed)) {
      settings_ = std::move(needed);
    }
  }

  Trials& trials_;
  const Outcome& start_;
  const Settings& base_;
  Outcome now_;
  Settings settings_;
  Settings clear_;  ///< that rid it of its clashes
  int tried_ = 0;
  const long most_instances_, most_pairs_;
  const bool is_brief_;
};

Settings settingsFrom(const std::vector<std::string>& overrides) {
  Settings settings;
  for (const std::string& one : overrides) {
    const std::size_t equals = one.find('=');
    settings.push_back({one.substr(0, equals), one.substr(equals + 1)});
  }
  return settings;
}

/// What makes the gate fit, least changed first.
std::vector<Settings> fittingSettings(const GateSpec& spec, const Layout& layout) {
  const SiteComparison comparison = compareArrangements(spec);
  std::vector<Settings> all;
  for (const Fix& fix : numberFixes(comparison, layout)) {
    all.push_back(settingsFrom({fix.overrides.back()}));
  }
  for (const int index : comparison.ranked) {
    const Arrangement& one = comparison.arrangements[index];
    if (one.fits && all.size() < kMostFitting) {
      all.push_back(settingsFrom(overridesOf(spec, one.choice)));
    }
  }
  return all;
}

}  // namespace

Outcome outcomeOf(const Model& model, const LoadReport& loads, const ClashReport& clash) {
  Outcome out;
  out.spec = model.spec;
  out.structure = loads.structure;
  out.warnings = warningsOf(model, loads);
  out.clash =
      ClashOutcome{clash.verdict, static_cast<int>(clash.findings.size()), weighedPairs(model)};
  return out;
}

void addCures(Advice& advice, const Outcome& as_is, Trials& trials, const CureBudget& budget) {
  const auto clashes = [](const Outcome& outcome) {
    const std::vector<std::string> reasons = outcome.reasons();
    return std::find(reasons.begin(), reasons.end(), kClash) != reasons.end();
  };
  trials.limitProofs(budget.pairs_of_one, as_is.clash ? as_is.clash->pairs : 0);
  const auto count = static_cast<long>(as_is.reasons().size());
  for (const std::string& id : as_is.reasons()) {
    if (id == kClash) {
      continue;  // no warning has it; all together does
    }
    const Found found = searched(
        trials, id, {as_is, {}, trials.builtInstances() + budget.instances / count, budget.pairs});
    Cure cure;
    cure.tried = found.tried;
    cure.is_brief = budget.is_brief;
    if (found.settings) {
      cure.sets = textsOf(*found.settings);
      cure.leaves = found.outcome.reasons();
      cure.is_proved = found.outcome.clash.has_value();
      if (!cure.is_proved && clashes(as_is)) {
        cure.leaves.emplace_back(kClash);
      }
    }
    for (Warning& warning : advice.warnings) {
      if (warning.id == id && warning.against != Against::kNothing) {
        warning.cure = cure;
      }
    }
  }
  if (!as_is.reasons().empty()) {
    advice.together = Together(trials, as_is, {}, 0, budget).run();
  }
}

void addFittingCure(Advice& advice, const GateSpec& spec, const Layout& layout, Trials& trials,
                    const CureBudget& budget) {
  trials.limitProofs(budget.pairs_of_one, 0);
  int tried = 0;
  for (const Settings& settings : fittingSettings(spec, layout)) {
    ++tried;
    const Outcome outcome = trials.proved(settings);
    if (!outcome.isMade()) {
      continue;
    }
    advice.together = Together(trials, outcome, settings, tried, budget).run();
    tried = advice.together.tried;
    if (!advice.together.sets.empty() && advice.together.leaves.empty()) {
      return;
    }
  }
}

}  // namespace leafstack
