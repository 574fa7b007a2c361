#include "generator/cures/judged.h"

#include <algorithm>
#include <cstdlib>
#include <iterator>
#include <map>
#include <optional>
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

/// Whether nothing that sections could cure tells against it.
bool sectionsHold(const Outcome& outcome) {
  return outcome.isMade() && outcome.count("member-overload") + outcome.count("frame-soft") == 0;
}

class Judge {
 public:
  Judge(SiteComparison& comparison, const JudgeOptions& options)
      : comparison_(comparison),
        options_(options),
        specs_(comparison.arrangements.size()),
        outcomes_(comparison.arrangements.size()) {}

  void run() {
    comparison_.is_judged = true;
    for (std::size_t i = 0; i < specs_.size(); ++i) {
      specs_[i] = specOf(comparison_.spec, comparison_.arrangements[i].choice);
    }
    const std::vector<int> order = fitting();
    build(leavesSections(comparison_.spec) && options_.read ? withSections(order) : order);
    rankArrangements(comparison_);
    settleBest();
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

  /// Those of them that then have sections. First one of each number of panels and stacking, then
  /// the others.
  std::vector<int> withSections(const std::vector<int>& order) {
    std::set<int> settled;
    std::set<Group> begun;
    std::vector<int> others;
    for (const int index : order) {
      if (!begun.insert(groupOf(index)).second) {
        others.push_back(index);  // where none holds in the first of its kind, none is looked for
      } else if (chosen_.empty() ? chooseFor(index) : raiseFor(index)) {
        settled.insert(index);
      }
    }
    for (const int index : takeSame(others, settled)) {
      if (raiseFor(index)) {
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

  /// Sections chosen for the nearest number of panels, of the same stacking where there are two.
  const std::vector<ChosenValue>& nearest(int index) const {
    const auto [panels, stacking] = groupOf(index);
    const std::vector<ChosenValue>* best = nullptr;
    std::pair<int, bool> least;
    for (const auto& [group, sections] : chosen_) {
      const std::pair<int, bool> off = {std::abs(group.first - panels), group.second != stacking};
      if (best == nullptr || off < least) {
        best = &sections;
        least = off;
      }
    }
    return *best;
  }

  void restore(int index, const Arrangement& before) {
    at(index) = before;
    specs_[index] = specOf(comparison_.spec, before.choice);
    outcomes_[index].reset();
  }

  /// Gives them the sections of their kind, and those settled in which they hold; the others are
  /// returned.
  std::vector<int> takeSame(const std::vector<int>& others, std::set<int>& settled) {
    std::vector<int> left;
    for (std::size_t from = 0; from < others.size(); from += kBuiltAtOnce) {
      std::vector<int> taken;
      std::vector<Arrangement> before;
      for (std::size_t i = from; i < std::min(others.size(), from + kBuiltAtOnce); ++i) {
        const auto same = chosen_.find(groupOf(others[i]));
        const Arrangement as_was = at(others[i]);
        if (same == chosen_.end() || built_choosing_ >= options_.most_choosing) {
          continue;
        }
        if (take(others[i], same->second)) {
          taken.push_back(others[i]);
          before.push_back(as_was);
        } else {
          restore(others[i], as_was);
          left.push_back(others[i]);
        }
      }
      inParallel(static_cast<int>(taken.size()),
                 [&](int i) { outcomes_[taken[i]] = outcomeOf(taken[i]); });
      for (std::size_t i = 0; i < taken.size(); ++i) {
        built_choosing_ += outcomes_[taken[i]]->instances;
        if (sectionsHold(*outcomes_[taken[i]])) {
          settled.insert(taken[i]);
          borrowed_.insert(taken[i]);
        } else {
          restore(taken[i], before[i]);
          left.push_back(taken[i]);
        }
      }
    }
    return left;
  }

  Trials trialsOf(int index) {
    return Trials(
        [this, base = settingsOf(at(index).choice)](std::span<const Override> more) {
          return options_.read(merged(base, {more.begin(), more.end()}));
        },
        stores_);
  }

  /// Whether it has sections of its own now, the lightest, and still fits.
  bool chooseFor(int index) {
    if (built_choosing_ >= options_.most_choosing) {
      return false;
    }
    Trials trials = trialsOf(index);
    const SectionChoice found = chooseSections(specs_[index], trials);
    const bool is_settled = settle(index, found, trials);
    if (found.chosen.empty()) {
      at(index).verdict =
          ArrangementVerdict{{{"sections", "no sections that merchants keep hold"}}, false};
    }
    return is_settled;
  }

  /// The same from those chosen for the nearest: heavier ones where these do not hold.
  bool raiseFor(int index) {
    if (chosen_.empty() || built_choosing_ >= options_.most_choosing) {
      return false;
    }
    Trials trials = trialsOf(index);
    const SectionChoice found = raisedSections(specs_[index], nearest(index), trials);
    if (settle(index, found, trials)) {
      borrowed_.insert(index);
      return true;
    }
    at(index).verdict = ArrangementVerdict{
        {{"sections", "no sections that hold were found from those of its neighbours"}}, false};
    return false;
  }

  bool settle(int index, const SectionChoice& found, Trials& trials) {
    built_choosing_ += trials.builtInstances();
    if (found.chosen.empty() || !take(index, found.chosen)) {
      return false;
    }
    Settings settings;
    for (const ChosenValue& one : found.chosen) {
      settings.push_back({one.pointer, one.value});
    }
    outcomes_[index] = trials.outcome(settings);
    chosen_.insert({groupOf(index), found.chosen});
    return true;
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

  // ---- verdicts

  Outcome outcomeOf(int index) {
    const LayoutResult laid_out = layOut(specs_[index]);
    return builtOutcome(specs_[index], laid_out.layout, stores_->parts);
  }

  void build(const std::vector<int>& order) {
    std::vector<int> unbuilt;
    for (const int index : order) {
      if (outcomes_[index]) {
        at(index).verdict = verdictFrom(*outcomes_[index]);
      } else {
        unbuilt.push_back(index);
      }
    }
    long built = 0;
    for (std::size_t from = 0; from < unbuilt.size() && built < options_.most_instances;
         from += kBuiltAtOnce) {
      const int count =
          static_cast<int>(std::min<std::size_t>(kBuiltAtOnce, unbuilt.size() - from));
      std::vector<Outcome> outcomes(count);
      inParallel(count, [&](int i) { outcomes[i] = outcomeOf(unbuilt[from + i]); });
      for (int i = 0; i < count; ++i) {
        built += outcomes[i].instances;
        at(unbuilt[from + i]).verdict = verdictFrom(outcomes[i]);
      }
    }
  }

  /// What is first by the sections of another gets the lightest of its own, and whatever is first
  /// then.
  void settleBest() {
    for (int i = 0; i < kMostProved && comparison_.recommended; ++i) {
      const int index = *comparison_.recommended;
      if (borrowed_.erase(index) == 0) {
        return;
      }
      const Arrangement before = at(index);
      specs_[index] = specOf(comparison_.spec, before.choice);
      if (chooseFor(index)) {
        at(index).verdict = verdictFrom(*outcomes_[index]);
        rankArrangements(comparison_);
      } else {
        take(index, before.sections);
        at(index).verdict = before.verdict;
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
      const ClashOutcome found = provedOutcome(spec, layOut(spec).layout, *stores_);
      pairs += found.pairs;
      if (found.verdict == Verdict::kClear || found.verdict == Verdict::kTight) {
        best.verdict->is_proved = true;
        return;
      }
      best.verdict->is_proved = true;
      best.verdict->reasons.push_back({"clash", std::to_string(found.findings) +
                                                    (found.findings == 1 ? " clash" : " clashes")});
      rankArrangements(comparison_);
      settleBest();
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
    if (!borrowed_.empty()) {
      comparison_.notes.push_back(
          "sections are the lightest that hold for the first; others take the same where they "
          "hold, "
          "or heavier ones: check chooses the lightest");
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
  std::vector<std::optional<Outcome>> outcomes_;  ///< where known, with the sections it has
  std::set<int> borrowed_;                        ///< whose sections are not the lightest
  long built_choosing_ = 0;
};

}  // namespace

PanelChoice panelsByVerdict(const GateSpec& spec) {
  PartStore parts;
  const bool leaves_sections = leavesSections(spec);
  const std::vector<Arrangement> all = arrangementsByPanels(spec);
  std::string unready;
  for (const Arrangement& one : all) {
    if (!one.fits) {
      break;  // what fits comes first
    }
    GateSpec tried = spec;
    applyChoice(spec, one.choice, tried);
    Outcome outcome = builtOutcome(tried, layOut(tried).layout, parts);
    if (leaves_sections) {
      std::erase_if(outcome.warnings, [](const Warning& warning) {
        return warning.id == "member-overload" || warning.id == "frame-soft";
      });
    }
    const std::string count = std::to_string(one.choice.panels);
    if (verdictFrom(outcome).isReady()) {
      return {one.choice.panels,
              "the first that is ready of the numbers that fit, as compare ranks them" +
                  (unready.empty() ? "" : "; not ready: " + unready)};
    }
    unready += (unready.empty() ? "" : ", ") + count;
  }
  return {all.front().choice.panels,
          "the first as compare ranks them; of the numbers that fit, none is ready"};
}

void judgeArrangements(SiteComparison& comparison, const JudgeOptions& options) {
  Judge(comparison, options).run();
}

}  // namespace leafstack
