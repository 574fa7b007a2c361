#include "generator/cures/judged.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>
#include <utility>

#include "generator/compare/ranking.h"
#include "generator/cures/auto_sections.h"
#include "generator/geometry/in_parallel.h"
#include "generator/layout/layout.h"

namespace leafstack {
namespace {

/// Gates that are built side by side before it is asked whether to go on: the same number whatever
/// the cores, so that the count is.
constexpr int kBuiltAtOnce = 6;
/// Arrangements whose clashes are checked before none is said to be the best.
constexpr int kMostProved = 3;

ArrangementVerdict verdictFrom(const Outcome& outcome) {
  ArrangementVerdict verdict;
  if (!outcome.isMade()) {
    verdict.reasons.push_back({"unmade", outcome.problem});
  }
  for (const Warning& warning : outcome.warnings) {
    if (warning.against != Against::kNothing) {
      verdict.reasons.push_back({warning.id, warning.in_short});
    }
  }
  return verdict;
}

class Judge {
 public:
  Judge(SiteComparison& comparison, const JudgeOptions& options)
      : comparison_(comparison), options_(options), specs_(comparison.arrangements.size()) {}

  void run() {
    comparison_.is_judged = true;
    for (std::size_t i = 0; i < specs_.size(); ++i) {
      specs_[i] = specOf(comparison_.spec, comparison_.arrangements[i].choice);
    }
    const std::vector<int> order = fitting();
    build(leavesSections(comparison_.spec) && options_.read ? withSections(order) : order);
    rankArrangements(comparison_);
    proveBest();
    tell(order);
  }

 private:
  using Group = std::pair<int, Stacking>;

  static GateSpec specOf(const GateSpec& given, const ArrangementChoice& choice) {
    GateSpec spec = given;
    applyChoice(given, choice, spec);
    return spec;
  }
  Arrangement& at(int index) { return comparison_.arrangements[index]; }

  std::vector<int> fitting() const {
    std::vector<int> out;
    for (const int index : comparison_.ranked) {
      if (comparison_.arrangements[index].fits) {
        out.push_back(index);
      }
    }
    return out;
  }

  // ---- sections

  /// Those of them that then have sections. First one of each number of panels and stacking, so
  /// that all kinds have theirs; then what takes the same; then what needs its own.
  std::vector<int> withSections(const std::vector<int>& order) {
    std::set<int> settled;
    std::set<Group> begun;
    std::vector<int> others, own;
    for (const int index : order) {
      if (!begun.insert(groupOf(index)).second) {
        others.push_back(index);
      } else if (chooseFor(index)) {
        settled.insert(index);
      }
    }
    for (const int index : others) {
      if (takeSame(index)) {
        settled.insert(index);
      } else {
        own.push_back(index);
      }
    }
    for (const int index : own) {
      if (chooseFor(index)) {
        settled.insert(index);
      }
    }
    std::vector<int> out;
    std::copy_if(order.begin(), order.end(), std::back_inserter(out),
                 [&](int index) { return settled.contains(index); });
    return out;
  }

  Group groupOf(int index) const {
    const ArrangementChoice& choice = comparison_.arrangements[index].choice;
    return {choice.panels, choice.panels < 3 ? Stacking::kFlush : choice.stacking};
  }

  /// Whether the sections chosen for another of its kind hold in it, too.
  bool takeSame(int index) {
    const auto same = chosen_.find(groupOf(index));
    if (same == chosen_.end()) {
      return false;
    }
    const Arrangement before = at(index);
    if (take(index, same->second) && holds(index)) {
      return true;
    }
    at(index) = before;
    specs_[index] = specOf(comparison_.spec, before.choice);
    return false;
  }

  /// Whether it has sections of its own now, and still fits.
  bool chooseFor(int index) {
    const ArrangementChoice choice = at(index).choice;
    if (built_choosing_ >= options_.most_choosing) {
      return false;
    }
    const Settings base = settingsOf(choice);
    Trials trials(
        [this, &base](std::span<const Override> more) {
          return options_.read(merged(base, {more.begin(), more.end()}));
        },
        stores_);
    const SectionChoice found = chooseSections(specs_[index], trials);
    built_choosing_ += trials.builtInstances();
    if (found.chosen.empty()) {
      at(index).verdict =
          ArrangementVerdict{{{"sections", "no sections that merchants keep hold"}}, false};
      return false;
    }
    chosen_.insert({groupOf(index), found.chosen});
    return take(index, found.chosen);
  }

  Settings settingsOf(const ArrangementChoice& choice) const {
    Settings out;
    for (const std::string& text : overridesOf(comparison_.spec, choice)) {
      const std::size_t equals = text.find('=');
      out.push_back({text.substr(0, equals), text.substr(equals + 1)});
    }
    return out;
  }

  /// The arrangement anew with these sections; false where it then does not fit.
  bool take(int index, const std::vector<ChosenValue>& sections) {
    Settings settings = settingsOf(at(index).choice);
    for (const ChosenValue& one : sections) {
      settings.push_back({one.pointer, one.value});
    }
    const ReadResult read = options_.read(settings);
    if (!read.gate) {
      return false;
    }
    CompareOptions how;
    how.prices = options_.prices;
    const ArrangementChoice choice = at(index).choice;
    Arrangement made = arrangementOf(read.gate->spec, choice, how);
    if (!made.fits) {
      return false;
    }
    made.sections = sections;
    at(index) = std::move(made);
    specs_[index] = specOf(read.gate->spec, choice);
    return true;
  }

  /// Whether nothing that sections could cure tells against it.
  bool holds(int index) {
    const Outcome outcome = outcomeOf(index);
    built_choosing_ += outcome.instances;
    return outcome.isMade() && outcome.count("member-overload") + outcome.count("frame-soft") == 0;
  }

  // ---- verdicts

  Outcome outcomeOf(int index) {
    const LayoutResult laid_out = layOut(specs_[index]);
    return builtOutcome(specs_[index], laid_out.layout, stores_->parts);
  }

  void build(const std::vector<int>& order) {
    long built = 0;
    for (std::size_t from = 0; from < order.size() && built < options_.most_instances;
         from += kBuiltAtOnce) {
      const int count = static_cast<int>(std::min<std::size_t>(kBuiltAtOnce, order.size() - from));
      std::vector<Outcome> outcomes(count);
      inParallel(count, [&](int i) { outcomes[i] = outcomeOf(order[from + i]); });
      for (int i = 0; i < count; ++i) {
        built += outcomes[i].instances;
        at(order[from + i]).verdict = verdictFrom(outcomes[i]);
      }
    }
  }

  /// Checks the clashes of the best until one has none.
  void proveBest() {
    long pairs = 0;
    for (int i = 0; i < kMostProved && comparison_.recommended; ++i) {
      Arrangement& best = at(*comparison_.recommended);
      if (pairs >= options_.most_pairs || !comparison_.spec.site.track_survey_mm.empty()) {
        return;
      }
      const GateSpec& spec = specs_[*comparison_.recommended];
      const ClashOutcome found = provedOutcome(spec, layOut(spec).layout, *stores_, pairs);
      if (found.verdict == Verdict::kClear || found.verdict == Verdict::kTight) {
        best.verdict->is_proved = true;
        return;
      }
      best.verdict->is_proved = true;
      best.verdict->reasons.push_back({"clash", std::to_string(found.findings) +
                                                    (found.findings == 1 ? " clash" : " clashes")});
      rankArrangements(comparison_);
    }
  }

  void tell(const std::vector<int>& order) {
    const auto unseen =
        std::count_if(order.begin(), order.end(), [&](int index) { return !at(index).verdict; });
    if (unseen > 0) {
      comparison_.notes.push_back(std::to_string(unseen) + " of the " +
                                  std::to_string(order.size()) +
                                  " arrangements that fit were not built, which would take too "
                                  "long: whether they are ready is for check to say");
    }
    if (comparison_.recommended && !at(*comparison_.recommended).verdict->is_proved) {
      comparison_.notes.push_back("clashes were not looked for: that is for check to do");
    }
    if (leavesSections(comparison_.spec) && !options_.read) {
      comparison_.notes.push_back("sections left to the program are those it starts from");
    }
  }

  SiteComparison& comparison_;
  const JudgeOptions& options_;
  std::vector<GateSpec> specs_;  ///< of the arrangements, in their order
  std::shared_ptr<TrialStores> stores_ = std::make_shared<TrialStores>();
  std::map<Group, std::vector<ChosenValue>> chosen_;
  long built_choosing_ = 0;
};

}  // namespace

void judgeArrangements(SiteComparison& comparison, const JudgeOptions& options) {
  Judge(comparison, options).run();
}

}  // namespace leafstack
