#include "generator/cures/auto_sections.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "generator/cures/section_members.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

/// Gates that are tried for one depth: in raising and lowering, and then in trading.
constexpr int kMostTrials = 120, kMostTrades = 60;
/// Gates that are built side by side: the same number whatever the cores, so that the count is.
constexpr std::size_t kSideBySide = 2;
/// Combinations that are put in order to be traded.
constexpr std::size_t kMostCombinations = 200'000;

/// Choosing at one depth.
class Choosing {
 public:
  /// Without `minds_rails` a guide rail's own leg may be too weak: that is cured on the shelf.
  Choosing(std::vector<SectionMember> members, Trials& trials, bool minds_rails = true)
      : members_(std::move(members)), trials_(trials), minds_rails_(minds_rails) {}

  /// Whether anything holds; then settings() is it. What would be of `most_mm3` or more is not
  /// looked for.
  bool run(double most_mm3) {
    if (!canBegin() || !raise(most_mm3)) {
      return false;
    }
    for (bool any = true; any && tried_ < kMostTrials;) {
      any = false;
      for (SectionMember& member : members_) {
        any = lower(member) || any;
      }
    }
    return true;
  }

  /// After run(): one member heavier and another lighter. The heaviest combination that is lighter
  /// than what is chosen, and not weaker throughout than one that failed, and so on down.
  void trade() {
    if (members_.size() < 2) {
      return;
    }
    const Outcome outcome = tried(settings());
    const std::vector<Combination> lighter = lighterOnes(outcome, volumeMm3(outcome));
    int trades = 0;
    for (std::size_t next = 0; next < lighter.size() && trades < kMostTrades;) {
      std::vector<std::vector<int>> batch;
      std::vector<Settings> all;
      const std::vector<int> before = now();
      for (; next < lighter.size() && batch.size() < kSideBySide; ++next) {
        if (!isHopeless(lighter[next].at)) {
          set(lighter[next].at);
          batch.push_back(lighter[next].at);
          all.push_back(settings());
        }
      }
      set(before);
      trades += static_cast<int>(batch.size());
      const std::vector<Outcome> outcomes = triedAll(all);
      for (std::size_t i = 0; i < batch.size(); ++i) {
        const std::vector<int> kept = now();
        set(batch[i]);
        learn(outcomes[i]);
        if (!provedFault(outcomes[i], settings()).empty()) {
          set(kept);
        }
      }
    }
  }

  /// From what holds elsewhere: raised until it holds here, clashes left out. False where it is not
  /// among what may be chosen, too.
  bool raiseFrom(const std::vector<ChosenValue>& from) {
    checks_clashes_ = false;
    if (!canBegin()) {
      return false;
    }
    for (SectionMember& member : members_) {
      const auto value = std::find_if(from.begin(), from.end(), [&](const ChosenValue& one) {
        return one.pointer == member.pointer;
      });
      if (value == from.end()) {
        return false;
      }
      const auto same =
          std::find_if(member.candidates.begin(), member.candidates.end(),
                       [&](const SectionCandidate& one) { return one.value == value->value; });
      if (same == member.candidates.end()) {
        return false;
      }
      member.at = static_cast<int>(same - member.candidates.begin());
    }
    return raise(std::numeric_limits<double>::infinity());
  }

  /// What is chosen weighs so much, for its volume: mm3.
  double volumeMm3() { return volumeMm3(tried(settings())); }

  Settings settings() const {
    Settings settings;
    for (const SectionMember& member : members_) {
      settings.push_back({member.pointer, member.candidates[member.at].value});
    }
    return settings;
  }

  const std::string& whyNot() const { return why_not_; }
  int tried() const { return tried_; }

  std::vector<ChosenValue> chosen() {
    const Outcome held = tried(settings());
    std::vector<ChosenValue> out;
    for (SectionMember& member : members_) {
      out.push_back({member.pointer, member.candidates[member.at].value,
                     checks_clashes_ ? reason(member, held)
                                     : "as in a gate much like it, raised until it held; " +
                                           howFar(member, held)});
    }
    return out;
  }

 private:
  bool canBegin() {
    const bool any_none =
        std::any_of(members_.begin(), members_.end(),
                    [](const SectionMember& member) { return member.candidates.empty(); });
    why_not_ = any_none ? "merchants keep no section of that depth" : "";
    return !any_none;
  }

  double volumeMm3(const Outcome& outcome) const {
    double sum = 0;
    for (const SectionMember& member : members_) {
      sum += lengthMm(member, outcome) * member.candidates[member.at].area_mm2;
    }
    return sum;
  }

  std::vector<Outcome> triedAll(const std::vector<Settings>& all) {
    tried_ += static_cast<int>(all.size());
    return trials_.outcomes(all);
  }

  Outcome tried(const Settings& settings) {
    ++tried_;
    return trials_.outcome(settings);
  }

  /// Why a gate does not hold; "" where it does.
  std::string fault(const Outcome& outcome) const {
    const std::string weak = weakness(outcome);
    if (!weak.empty()) {
      return weak;
    }
    // Beside a rail of another height it may be held by the uprights alone.
    const double use = outcome.timesAllowed("guide-rail-overload");
    return use > 1 && minds_rails_
               ? "the guide rail reaches " + shown(100 * use, 0) + " % of what it bears"
               : "";
  }

  /// The same of the frame alone, in which heavier sections are never worse.
  std::string weakness(const Outcome& outcome) const {
    if (!outcome.isMade()) {
      return outcome.problem;
    }
    if (!outcome.structure.problem.empty()) {
      return outcome.structure.problem;
    }
    const SectionMember* worst = mostUsed(outcome.structure);
    if (const double use = useOf(*worst, outcome.structure); use > 1) {
      return std::string("the ") + worst->name + " reaches " + shown(100 * use, 0) +
             " % of what it bears";
    }
    if (timesMoved(outcome.structure) > 1) {
      return "the frame moves " + shown(outcome.structure.deflection_mm, 1) + " mm of " +
             shown(outcome.structure.deflection_limit_mm, 1) + " mm allowed";
    }
    return "";
  }

  /// The same with the clash check, where nothing else is wrong.
  std::string provedFault(const Outcome& outcome, const Settings& settings) {
    const std::string wrong = fault(outcome);
    if (!wrong.empty() || !checks_clashes_) {
      return wrong;
    }
    const Verdict verdict = trials_.proved(settings).clash->verdict;
    return verdict == Verdict::kClear || verdict == Verdict::kTight ? ""
                                                                    : "parts meet that must not";
  }

  const SectionMember* mostUsed(const StructureReport& structure) const {
    return &*std::max_element(members_.begin(), members_.end(),
                              [&](const SectionMember& one, const SectionMember& other) {
                                return useOf(one, structure) < useOf(other, structure);
                              });
  }

  bool raise(double most_mm3) {
    while (tried_ < kMostTrials) {
      const Outcome outcome = tried(settings());
      if (outcome.isMade() && volumeMm3(outcome) >= most_mm3) {
        why_not_ = "it would be heavier than what holds";
        return false;
      }
      why_not_ = provedFault(outcome, settings());
      if (why_not_.empty()) {
        return true;
      }
      learn(outcome);
      if (!raiseOne(outcome)) {
        return false;
      }
    }
    return false;
  }

  /// That what is set now is too weak, where that is what is wrong with it.
  void learn(const Outcome& outcome) {
    if (outcome.isMade() && outcome.structure.problem.empty() && !weakness(outcome).empty()) {
      failed_.push_back(now());
    }
  }

  /// False where what would have to be raised is the heaviest already.
  bool raiseOne(const Outcome& outcome) {
    if (outcome.isMade() && outcome.structure.problem.empty()) {
      const SectionMember* worst = mostUsed(outcome.structure);
      if (const double use = useOf(*worst, outcome.structure); use > 1) {
        return raiseBy(members_[worst - members_.data()], std::sqrt(use));
      }
      if (timesMoved(outcome.structure) > 1) {
        return stiffen(outcome);
      }
    }
    const auto first = std::find_if(members_.begin(), members_.end(),
                                    [](const SectionMember& member) { return !member.isLast(); });
    if (first == members_.end()) {
      return false;
    }
    ++first->at;
    return true;
  }

  /// To the next section whose modulus is so many times what it is now.
  static bool raiseBy(SectionMember& member, double times) {
    if (member.isLast()) {
      return false;
    }
    const double wanted = times * member.candidates[member.at].modulus_mm3;
    do {
      ++member.at;
    } while (!member.isLast() && member.candidates[member.at].modulus_mm3 < wanted);
    return true;
  }

  /// Raises the member whose next section takes most movement for its weight; where none takes any,
  /// the first that can be raised.
  bool stiffen(const Outcome& outcome) {
    std::vector<SectionMember*> raised;
    std::vector<Settings> all;
    for (SectionMember& member : members_) {
      if (!member.isLast()) {
        ++member.at;
        raised.push_back(&member);
        all.push_back(settings());
        --member.at;
      }
    }
    if (raised.empty()) {
      return false;
    }
    const std::vector<Outcome> outcomes = triedAll(all);
    SectionMember* best = raised.front();
    double most = 0, gain = 0;
    for (std::size_t i = 0; i < raised.size(); ++i) {
      const SectionMember& member = *raised[i];
      const double more =
          member.candidates[member.at + 1].area_mm2 - member.candidates[member.at].area_mm2;
      const double less = timesMoved(outcome.structure) - timesMoved(outcomes[i].structure);
      const double worth = outcomes[i].isMade() ? less / std::max(more, 1.0) : 0;
      if (worth > most) {
        most = worth;
        gain = less;
        best = raised[i];
      }
    }
    const int left = static_cast<int>(best->candidates.size()) - 1 - best->at;
    const double steps = gain > 0 ? (timesMoved(outcome.structure) - 1) / gain : 1;
    best->at += static_cast<int>(std::clamp(std::floor(steps), 1.0, 1.0 * left));
    return true;
  }

  /// To the lightest of all lighter ones that hold beside the others, from the heaviest down: what
  /// is weaker throughout than one that failed is not built.
  bool lower(SectionMember& member) {
    const int before = member.at;
    std::vector<int> holding;
    for (int next = before; next > 0 && tried_ < kMostTrials;) {
      std::vector<int> batch;
      std::vector<Settings> all;
      while (next > 0 && batch.size() < kSideBySide) {
        member.at = --next;
        if (!isHopeless(now())) {
          batch.push_back(next);
          all.push_back(settings());
        }
      }
      const std::vector<Outcome> outcomes = triedAll(all);
      for (std::size_t i = 0; i < batch.size(); ++i) {
        member.at = batch[i];
        learn(outcomes[i]);
        if (fault(outcomes[i]).empty()) {
          holding.push_back(batch[i]);
        }
      }
    }
    for (auto lightest = holding.rbegin(); lightest != holding.rend(); ++lightest) {
      member.at = *lightest;
      if (provedFault(tried(settings()), settings()).empty()) {
        return true;
      }
    }
    member.at = before;
    return false;
  }

  static double lengthMm(const SectionMember& member, const Outcome& outcome) {
    const std::string_view pointer = member.pointer;
    return pointer == "/gate/stile"       ? outcome.stiles_mm
           : pointer == "/guides/post_mm" ? outcome.spec.gate.height_mm
                                          : outcome.rails_mm;
  }

  struct Combination {
    std::vector<int> at;
    double volume_mm3 = 0;
  };

  /// Every combination that is lighter than what is chosen, heaviest first; none where there are
  /// too many.
  std::vector<Combination> lighterOnes(const Outcome& outcome, double than_mm3) const {
    std::vector<Combination> all = {{}};
    for (const SectionMember& member : members_) {
      std::vector<Combination> longer;
      for (const Combination& one : all) {
        for (std::size_t i = 0; i < member.candidates.size(); ++i) {
          Combination next = one;
          next.at.push_back(static_cast<int>(i));
          next.volume_mm3 += lengthMm(member, outcome) * member.candidates[i].area_mm2;
          if (next.volume_mm3 < than_mm3) {
            longer.push_back(std::move(next));
          }
        }
      }
      all = std::move(longer);
      if (all.size() > kMostCombinations) {
        return {};
      }
    }
    std::stable_sort(all.begin(), all.end(), [](const Combination& one, const Combination& other) {
      return one.volume_mm3 > other.volume_mm3;
    });
    return all;
  }

  bool isNoMoreThan(const std::vector<int>& one, const std::vector<int>& other) const {
    for (std::size_t i = 0; i < members_.size(); ++i) {
      const std::vector<SectionCandidate>& candidates = members_[i].candidates;
      if (!candidates[one[i]].isNoMoreThan(candidates[other[i]])) {
        return false;
      }
    }
    return true;
  }

  bool isHopeless(const std::vector<int>& at) const {
    return std::any_of(failed_.begin(), failed_.end(),
                       [&](const std::vector<int>& failed) { return isNoMoreThan(at, failed); });
  }

  std::vector<int> now() const {
    std::vector<int> at;
    for (const SectionMember& member : members_) {
      at.push_back(member.at);
    }
    return at;
  }

  void set(const std::vector<int>& at) {
    for (std::size_t i = 0; i < members_.size(); ++i) {
      members_[i].at = at[i];
    }
  }

  static std::string howFar(const SectionMember& member, const Outcome& held) {
    return shown(100 * useOf(member, held.structure), 0) + " % of what it bears, the frame moves " +
           shown(held.structure.deflection_mm, 1) + " mm of " +
           shown(held.structure.deflection_limit_mm, 1) + " mm allowed";
  }

  /// Of what is chosen, and of why the next lighter one would not do.
  std::string reason(SectionMember& member, const Outcome& held) {
    std::string text = "the lightest of " + std::to_string(member.candidates.size()) +
                       " that holds beside the others; " + howFar(member, held);
    if (member.at > 0) {
      --member.at;
      text += "; with " + member.candidates[member.at].value + " " +
              provedFault(tried(settings()), settings());
      ++member.at;
    }
    return text;
  }

  std::vector<SectionMember> members_;
  Trials& trials_;
  bool minds_rails_;
  bool checks_clashes_ = true;
  std::vector<std::vector<int>> failed_;  ///< too weak, by the members' candidates
  int tried_ = 0;
  std::string why_not_;
};

}  // namespace

bool leavesSections(const GateSpec& spec) {
  return spec.gate.bottom_rail.is_auto || spec.gate.top_rail.is_auto || spec.gate.stile.is_auto ||
         spec.guides.post_is_auto;
}

SectionChoice chooseSections(const GateSpec& spec, Trials& trials) {
  SectionChoice out;
  std::optional<Choosing> best;
  double least_mm3 = std::numeric_limits<double>::infinity();
  int tried = 0;
  for (const bool minds_rails : {true, false}) {
    for (const double depth : best ? std::vector<double>{} : sectionDepthsOf(spec)) {
      Choosing choosing(sectionMembersOf(spec, depth), trials, minds_rails);
      const bool holds = choosing.run(least_mm3);
      tried += choosing.tried();
      if (!holds) {
        if (!minds_rails) {
          out.problems.push_back("nothing " + shown(depth) +
                                 " mm deep holds: " + choosing.whyNot());
        }
        continue;
      }
      const double volume = choosing.volumeMm3();
      if (volume < least_mm3) {
        best.emplace(std::move(choosing));
        least_mm3 = volume;
      }
    }
  }
  if (best) {
    best->trade();
    out.chosen = best->chosen();
    out.problems.clear();
    return out;
  }
  std::string names;
  for (const SectionMember& member : sectionMembersOf(spec, sectionDepthsOf(spec).front())) {
    names += (names.empty() ? "" : ", ") + std::string(member.pointer);
  }
  out.problems.insert(out.problems.begin(), names + ": none of the " + std::to_string(tried) +
                                                " gates tried with sections kept holds");
  return out;
}

SectionChoice raisedSections(const GateSpec& spec, const std::vector<ChosenValue>& from,
                             Trials& trials) {
  SectionChoice out;
  for (const double depth : sectionDepthsOf(spec)) {
    Choosing choosing(sectionMembersOf(spec, depth), trials);
    if (choosing.raiseFrom(from)) {
      out.chosen = choosing.chosen();
      return out;
    }
  }
  out.problems.emplace_back("nothing that is raised from those sections holds");
  return out;
}

}  // namespace leafstack
