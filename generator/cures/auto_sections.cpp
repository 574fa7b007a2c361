#include "generator/cures/auto_sections.h"

#include <algorithm>
#include <optional>
#include <set>

#include "generator/cures/changes.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/figures/sections.h"
#include "params/catalogue/catalogue.h"
#include "params/reading/text.h"

namespace leafstack {
namespace {

/// Gates that are tried for one depth: in raising and lowering, and then in trading.
constexpr int kMostTrials = 120, kMostTrades = 60;
/// Combinations that are put in order to be traded.
constexpr std::size_t kMostCombinations = 200'000;
/// Depths of frames that are looked at where none is given.
constexpr double kLeastDepthMm = 40, kMostDepthMm = 80;
/// Guide posts: the square sections kept, from the least that the gate file takes.
constexpr double kLeastPostMm = 50;

struct Candidate {
  std::string value;
  double area_mm2 = 0;
  double side_mm = 0, wall_mm = 0;

  /// No stiffer nor stronger, of the same depth.
  bool isNoMoreThan(const Candidate& other) const {
    return side_mm <= other.side_mm && wall_mm <= other.wall_mm;
  }
};

/// One thing that is left to the program, with all it may be, lightest first.
struct Member {
  const char* pointer;
  const char* name;  ///< in the frame's members
  std::vector<Candidate> candidates;
  int at = 0;

  bool isLast() const { return at + 1 >= static_cast<int>(candidates.size()); }
};

bool isOf(const Member& member, const StructureMember& one) {
  const bool is_post = std::string_view(member.pointer) == "/guides/post_mm";
  return is_post == (one.panel == 0) && one.name.find(member.name) != std::string::npos;
}

double useOf(const Member& member, const StructureReport& structure) {
  double most = 0;
  for (const StructureMember& one : structure.members) {
    most = isOf(member, one) ? std::max(most, one.use) : most;
  }
  return most;
}

double timesMoved(const StructureReport& structure) {
  return structure.deflection_mm / structure.deflection_limit_mm;
}

std::vector<Candidate> ofDepth(double depth_mm) {
  std::vector<Candidate> out;
  for (const HollowSection& one : sectionsOfDepth(depth_mm)) {
    out.push_back({one.designation, bendingAcross(one).area_mm2, one.height_mm, one.wall_mm});
  }
  return out;
}

std::vector<Candidate> posts(double wall_mm) {
  std::set<double> sides;
  for (const HollowSection& one : boughtSections()) {
    if (one.depth_mm == one.height_mm && one.depth_mm >= kLeastPostMm) {
      sides.insert(one.depth_mm);
    }
  }
  std::vector<Candidate> out;
  for (const double side : sides) {
    const HollowSection section{side, side, wall_mm, ""};
    out.push_back({formatNumber(side), bendingAcross(section).area_mm2, side, wall_mm});
  }
  return out;
}

std::vector<Member> membersOf(const GateSpec& spec, double depth_mm) {
  std::vector<Member> members;
  const auto add = [&](bool is_auto, const char* pointer, const char* name,
                       std::vector<Candidate> candidates) {
    if (is_auto) {
      members.push_back({pointer, name, std::move(candidates)});
    }
  };
  const PanelSpec& gate = spec.gate;
  add(gate.bottom_rail.is_auto, "/gate/bottom_rail", "bottom rail", ofDepth(depth_mm));
  add(gate.top_rail.is_auto, "/gate/top_rail", "top rail", ofDepth(depth_mm));
  add(gate.stile.is_auto, "/gate/stile", "stile", ofDepth(depth_mm));
  add(spec.guides.post_is_auto, "/guides/post_mm", "guide post", posts(spec.hardware.post.wall_mm));
  return members;
}

std::vector<double> depthsOf(const GateSpec& spec) {
  for (const HollowSection* one : {&spec.gate.bottom_rail, &spec.gate.top_rail, &spec.gate.stile}) {
    if (!one->is_auto) {
      return {one->depth_mm};
    }
  }
  std::set<double> depths;
  for (const HollowSection& one : boughtSections()) {
    if (one.depth_mm >= kLeastDepthMm && one.depth_mm <= kMostDepthMm) {
      depths.insert(one.depth_mm);
    }
  }
  return {depths.begin(), depths.end()};
}

/// Choosing at one depth.
class Choosing {
 public:
  Choosing(std::vector<Member> members, Trials& trials)
      : members_(std::move(members)), trials_(trials) {}

  /// Whether anything holds; then settings() is it.
  bool run() {
    if (std::any_of(members_.begin(), members_.end(),
                    [](const Member& member) { return member.candidates.empty(); })) {
      why_not_ = "merchants keep no section of that depth";
      return false;
    }
    if (!raise()) {
      return false;
    }
    for (bool any = true; any && tried_ < kMostTrials;) {
      any = false;
      for (Member& member : members_) {
        any = lower(member) || any;
      }
    }
    trade();
    return true;
  }

  /// What is chosen weighs so much, for its volume: mm3.
  double volumeMm3() {
    const Outcome outcome = tried(settings());
    double sum = 0;
    for (const Member& member : members_) {
      sum += lengthMm(member, outcome) * member.candidates[member.at].area_mm2;
    }
    return sum;
  }

  Settings settings() const {
    Settings settings;
    for (const Member& member : members_) {
      settings.push_back({member.pointer, member.candidates[member.at].value});
    }
    return settings;
  }

  const std::string& whyNot() const { return why_not_; }
  int tried() const { return tried_; }

  std::vector<ChosenValue> chosen() {
    const Outcome held = tried(settings());
    std::vector<ChosenValue> out;
    for (std::size_t i = 0; i < members_.size(); ++i) {
      out.push_back({members_[i].pointer, members_[i].candidates[members_[i].at].value,
                     reason(members_[i], held)});
    }
    return out;
  }

 private:
  Outcome tried(const Settings& settings) {
    ++tried_;
    return trials_.outcome(settings);
  }

  /// Why a gate does not hold; "" where it does.
  std::string fault(const Outcome& outcome) const {
    if (!outcome.isMade()) {
      return outcome.problem;
    }
    if (!outcome.structure.problem.empty()) {
      return outcome.structure.problem;
    }
    const Member* worst = mostUsed(outcome.structure);
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
    if (!wrong.empty()) {
      return wrong;
    }
    const Verdict verdict = trials_.proved(settings).clash->verdict;
    return verdict == Verdict::kClear || verdict == Verdict::kTight ? ""
                                                                    : "parts meet that must not";
  }

  const Member* mostUsed(const StructureReport& structure) const {
    return &*std::max_element(members_.begin(), members_.end(),
                              [&](const Member& one, const Member& other) {
                                return useOf(one, structure) < useOf(other, structure);
                              });
  }

  bool raise() {
    while (tried_ < kMostTrials) {
      const Outcome outcome = tried(settings());
      why_not_ = provedFault(outcome, settings());
      if (why_not_.empty()) {
        return true;
      }
      Member* next = nextToRaise(outcome);
      if (next == nullptr) {
        return false;
      }
      ++next->at;
    }
    return false;
  }

  /// Null where what would have to be raised is the heaviest already.
  Member* nextToRaise(const Outcome& outcome) {
    if (outcome.isMade() && outcome.structure.problem.empty()) {
      const Member* worst = mostUsed(outcome.structure);
      if (useOf(*worst, outcome.structure) > 1) {
        return worst->isLast() ? nullptr : &members_[worst - members_.data()];
      }
      if (timesMoved(outcome.structure) > 1) {
        return stiffening(outcome);
      }
    }
    const auto first = std::find_if(members_.begin(), members_.end(),
                                    [](const Member& member) { return !member.isLast(); });
    return first == members_.end() ? nullptr : &*first;
  }

  /// The member whose next section takes most movement for its weight; where none takes any, the
  /// first that can be raised.
  Member* stiffening(const Outcome& outcome) {
    std::vector<Member*> raised;
    std::vector<Settings> all;
    for (Member& member : members_) {
      if (!member.isLast()) {
        ++member.at;
        raised.push_back(&member);
        all.push_back(settings());
        --member.at;
      }
    }
    const std::vector<Outcome> outcomes = trials_.outcomes(all);
    tried_ += static_cast<int>(all.size());
    Member* best = raised.empty() ? nullptr : raised.front();
    double most = 0;
    for (std::size_t i = 0; i < raised.size(); ++i) {
      const Member& member = *raised[i];
      const double more =
          member.candidates[member.at + 1].area_mm2 - member.candidates[member.at].area_mm2;
      const double less = timesMoved(outcome.structure) - timesMoved(outcomes[i].structure);
      const double worth = outcomes[i].isMade() ? less / std::max(more, 1.0) : 0;
      if (worth > most) {
        most = worth;
        best = raised[i];
      }
    }
    return best;
  }

  /// To the lightest of all lighter ones that hold beside the others.
  bool lower(Member& member) {
    const int before = member.at;
    for (member.at = 0; member.at < before && tried_ < kMostTrials; ++member.at) {
      if (provedFault(tried(settings()), settings()).empty()) {
        return true;
      }
    }
    member.at = before;
    return false;
  }

  static double lengthMm(const Member& member, const Outcome& outcome) {
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
    for (const Member& member : members_) {
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
      const std::vector<Candidate>& candidates = members_[i].candidates;
      if (!candidates[one[i]].isNoMoreThan(candidates[other[i]])) {
        return false;
      }
    }
    return true;
  }

  /// One member heavier and another lighter: the heaviest combination that is lighter than what is
  /// chosen, and not weaker throughout than one that failed, and so on down.
  void trade() {
    if (members_.size() < 2) {
      return;
    }
    const Outcome outcome = tried(settings());
    std::vector<std::vector<int>> failed;
    int trades = 0;
    for (const Combination& one : lighterOnes(outcome, volumeMm3())) {
      const bool is_hopeless = std::any_of(failed.begin(), failed.end(), [&](const auto& other) {
        return isNoMoreThan(one.at, other);
      });
      if (is_hopeless) {
        continue;
      }
      if (++trades > kMostTrades) {
        return;
      }
      const std::vector<int> before = now();
      set(one.at);
      if (!provedFault(tried(settings()), settings()).empty()) {
        failed.push_back(one.at);
        set(before);
      }
    }
  }

  std::vector<int> now() const {
    std::vector<int> at;
    for (const Member& member : members_) {
      at.push_back(member.at);
    }
    return at;
  }

  void set(const std::vector<int>& at) {
    for (std::size_t i = 0; i < members_.size(); ++i) {
      members_[i].at = at[i];
    }
  }

  /// Of what is chosen, and of why the next lighter one would not do.
  std::string reason(Member& member, const Outcome& held) {
    std::string text =
        "the lightest of " + std::to_string(member.candidates.size()) +
        " that holds beside the others; " + shown(100 * useOf(member, held.structure), 0) +
        " % of what it bears, the frame moves " + shown(held.structure.deflection_mm, 1) +
        " mm of " + shown(held.structure.deflection_limit_mm, 1) + " mm allowed";
    if (member.at > 0) {
      --member.at;
      text += "; with " + member.candidates[member.at].value + " " +
              provedFault(tried(settings()), settings());
      ++member.at;
    }
    return text;
  }

  std::vector<Member> members_;
  Trials& trials_;
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
  double least_mm3 = 0;
  int tried = 0;
  for (const double depth : depthsOf(spec)) {
    Choosing choosing(membersOf(spec, depth), trials);
    const bool holds = choosing.run();
    tried += choosing.tried();
    if (!holds) {
      out.problems.push_back("nothing " + shown(depth) + " mm deep holds: " + choosing.whyNot());
      continue;
    }
    const double volume = choosing.volumeMm3();
    if (out.chosen.empty() || volume < least_mm3) {
      out.chosen = choosing.chosen();
      least_mm3 = volume;
    }
  }
  if (!out.chosen.empty()) {
    out.problems.clear();
    return out;
  }
  std::string names;
  for (const Member& member : membersOf(spec, depthsOf(spec).front())) {
    names += (names.empty() ? "" : ", ") + std::string(member.pointer);
  }
  out.problems.insert(out.problems.begin(), names + ": none of the " + std::to_string(tried) +
                                                " gates tried with sections kept holds");
  return out;
}

}  // namespace leafstack
