#include "generator/installing/installation.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Trsf.hxx>
#include <set>

#include "generator/installing/groups.h"

namespace leafstack {
namespace {

constexpr double kLiftedFreeMm = 100;  // beyond everything else, for what is lifted in whole
constexpr double kAlike = 1 - 1e-9;    // of two unit vectors
// Tried one after the other; own choice.
constexpr std::array kOffMm = {8.0, 12.0, 16.0, 20.0, 26.0, 35.0, 50.0};
constexpr std::array kRolledMm = {100.0, 250.0, 500.0, 1000.0};
constexpr std::array kPastOthersMm = {100.0, 300.0, 600.0};
constexpr std::array kHeldOverMm = {10.0, 20.0, 40.0};  // its place, then swung aside, then up
constexpr std::array kSwungMm = {150.0, 250.0, 400.0};
constexpr double kNearlyUp = 0.9;  // of a unit vector: a leaning one's own axis

bool isPutOn(PartKind kind) {
  return kind == PartKind::kPinion || kind == PartKind::kCatchBuffer || kind == PartKind::kTubeCap;
}

/// What is held that way is put in with what holds it.
bool isFixed(ContactKind kind) {
  return kind == ContactKind::kWelded || kind == ContactKind::kBolted ||
         kind == ContactKind::kStandsOn;
}

/// The stage that a kind says by itself.
std::optional<InstallStage> stageOf(PartKind kind) {
  switch (kind) {
    case PartKind::kFooting:
      return InstallStage::kConcrete;
    case PartKind::kGuidePost:
    case PartKind::kBasePlate:
    case PartKind::kGroundBracket:
      return InstallStage::kPosts;
    case PartKind::kTrack:
    case PartKind::kTrackFlat:
    case PartKind::kTrackDowel:
      return InstallStage::kTracks;
    case PartKind::kGuideBlock:
    case PartKind::kGuideJaws:
    case PartKind::kPivotBolt:
    case PartKind::kLiftKeeper:
    case PartKind::kGuideChannel:
    case PartKind::kGuideArm:
      return InstallStage::kGuides;
    case PartKind::kEndStop:
      return InstallStage::kStops;
    case PartKind::kCatchPost:
      return InstallStage::kCatch;
    case PartKind::kMotor:
    case PartKind::kMotorPacker:
    case PartKind::kPinion:
      return InstallStage::kDrive;
    default:
      return std::nullopt;
  }
}

/// When something goes in: `at` is what is compared.
struct Turn {
  int at = 0;
  InstallStage stage{};
  int panel = 0;  ///< of kPanel
  auto operator<=>(const Turn&) const = default;
};

/// What may be done in one way or another; the first that is proved is taken.
struct PlanOrder {
  bool pulleys_later = false, is_front_first = false;
};

class Planner {
 public:
  Planner(const Model& model, const PlanOrder& order)
      : model_(model),
        order_(order),
        ways_(model),
        put_up_(model, order.pulleys_later),
        groups_(put_up_.groups()) {
    for (const Contact& contact : model.contacts) {
      joined_.insert(std::minmax(contact.a, contact.b));
    }
  }

  Installation run(bool stops_at_blocked) {
    Installation all;
    all.there_before = put_up_.thereBefore();
    giveTurns();
    std::vector<int> there = all.there_before;
    std::vector<Turn> left = turns();
    while (!left.empty()) {
      const Turn turn = left.front();
      left.erase(left.begin());
      InstallStep step = planned(turn, there);
      if (turn.stage == InstallStage::kPanel && step.groups.front().blocked) {
        putOff(all, there, left, step);
      }
      for (const InstallGroup& group : step.groups) {
        there.insert(there.end(), group.instances.begin(), group.instances.end());
      }
      all.steps.push_back(std::move(step));
      if (stops_at_blocked && !all.isProved()) {
        return all;
      }
    }
    for (const InstallStage last :
         {InstallStage::kHandTravel, InstallStage::kLimits, InstallStage::kSafety,
          InstallStage::kForces, InstallStage::kFirstRun, InstallStage::kHandover}) {
      all.steps.push_back({last, 0, {}});
    }
    return all;
  }

 private:
  InstallStep planned(const Turn& turn, const std::vector<int>& there) {
    InstallStep step{turn.stage, turn.panel, {}};
    for (const std::vector<int>& group : groups_) {
      const Turn own = turnOf(group);
      if (own.stage == turn.stage &&
          (turn.stage != InstallStage::kPanel || own.panel == turn.panel)) {
        step.groups.push_back({group, {}, {}, massOf(group)});
      }
    }
    ways_.pushTo(step.isPushedOpen() ? model_.layout.drive_travel_mm : 0);
    std::stable_sort(
        step.groups.begin(), step.groups.end(),
        [&](const InstallGroup& a, const InstallGroup& b) { return rankOf(a) < rankOf(b); });
    putInOrder(step, there);
    return step;
  }

  /// Of a panel that cannot come in: stops and catch post are taken away again, as few of them as
  /// give it a way, and come right after it, the catch post after the front panel.
  void putOff(Installation& all, std::vector<int>& there, std::vector<Turn>& left,
              InstallStep& step) {
    using Stages = std::vector<InstallStage>;
    for (const Stages& late : {Stages{InstallStage::kCatch}, Stages{InstallStage::kStops},
                               Stages{InstallStage::kCatch, InstallStage::kStops}}) {
      const auto isLate = [&](const InstallStep& one) {
        return one.panel == 0 && std::find(late.begin(), late.end(), one.stage) != late.end();
      };
      std::set<int> away;
      for (const InstallStep& one : all.steps) {
        for (const InstallGroup& group : one.groups) {
          if (isLate(one)) {
            away.insert(group.instances.begin(), group.instances.end());
          }
        }
      }
      std::vector<int> fewer;
      std::copy_if(there.begin(), there.end(), std::back_inserter(fewer),
                   [&](int instance) { return !away.contains(instance); });
      if (away.empty() || !findWay(step.groups.front(), fewer)) {
        continue;
      }
      there = fewer;
      std::erase_if(all.steps, isLate);
      for (const InstallStage stage : late) {
        const bool is_catch = stage == InstallStage::kCatch;
        const auto after = std::find_if(left.begin(), left.end(), [&](const Turn& turn) {
          return is_catch && turn.stage == InstallStage::kPanel &&
                 turn.panel == model_.layout.panel_count;
        });
        left.insert(after == left.end() ? left.begin() : after + 1,
                    Turn{0, stage, is_catch ? model_.layout.panel_count : step.panel});
      }
      return;
    }
  }

  const Part& partOf(int instance) const { return model_.parts[model_.instances[instance].part]; }
  /// What is alike goes in together where that makes no difference; what is put on others, last.
  std::pair<int, int> rankOf(const InstallGroup& group) const {
    const PartKind kind = partOf(group.instances.front()).kind;
    const bool is_first = group.instances.size() > 1 || kind == PartKind::kMotorPacker;
    const bool is_put_on = isPutOn(kind);
    const int turn = is_first                                      ? 0
                     : kind == PartKind::kNut                      ? 5
                     : kind == PartKind::kWasher                   ? 4
                     : isFixing(kind) || kind == PartKind::kAnchor ? 3
                     : is_put_on                                   ? 2
                                                                   : 1;
    return {turn, model_.instances[group.instances.front()].part};
  }
  double massOf(const std::vector<int>& group) const {
    double sum = 0;
    for (const int instance : group) {
      sum += partOf(instance).massKg();
    }
    return sum;
  }

  /// By their kinds; what has none of its own goes in with the last thing that it holds.
  void giveTurns() {
    turn_.assign(groups_.size(), std::nullopt);
    std::vector<int> group_of(model_.instances.size(), -1);
    for (std::size_t g = 0; g < groups_.size(); ++g) {
      for (const int instance : groups_[g]) {
        group_of[instance] = static_cast<int>(g);
      }
      turn_[g] = ownTurn(groups_[g]);
    }
    for (bool any = true; any;) {
      any = false;
      std::vector<std::optional<Turn>> next = turn_;
      for (const Contact& contact : model_.contacts) {
        if (!isFixed(contact.kind)) {
          continue;
        }
        for (const auto& [one, other] :
             {std::pair(contact.a, contact.b), std::pair(contact.b, contact.a)}) {
          const int g = group_of[one], h = group_of[other];
          if (g >= 0 && h >= 0 && !turn_[g] && turn_[h]) {
            next[g] = next[g] ? std::max(*next[g], *turn_[h]) : *turn_[h];
            any = true;
          }
        }
      }
      turn_ = std::move(next);
    }
  }

  Turn turnAt(InstallStage stage, int panel = 0) const {
    constexpr int kMostPanels = 10;
    const int place =
        order_.is_front_first && panel > 0 ? model_.layout.panel_count + 1 - panel : panel;
    return {static_cast<int>(stage) * kMostPanels + place, stage, panel};
  }

  std::optional<Turn> ownTurn(const std::vector<int>& group) const {
    const Instance& first = model_.instances[group.front()];
    if (isFlexible(partOf(group.front()).kind)) {
      return turnAt(InstallStage::kRopes);
    }
    if (first.panel > 0 && put_up_.comesWithPanel(group.front())) {
      return turnAt(InstallStage::kPanel, first.panel);
    }
    if (order_.pulleys_later && isOfPulley(partOf(group.front()).kind)) {
      return turnAt(InstallStage::kPulleys);
    }
    // A plate goes with what stands on it, an arm with its post.
    std::optional<InstallStage> plate, other;
    for (const int instance : group) {
      const PartKind kind = partOf(instance).kind;
      if (kind == PartKind::kGuidePost) {
        return turnAt(InstallStage::kPosts);
      }
      const std::optional<InstallStage> stage = stageOf(kind);
      if (stage && kind == PartKind::kBasePlate) {
        plate = stage;
      } else if (stage && (!other || *stage < *other)) {
        other = stage;
      }
    }
    const std::optional<InstallStage> stage = other ? other : plate;
    return stage ? std::optional(turnAt(*stage)) : std::nullopt;
  }

  Turn turnOf(const std::vector<int>& group) const {
    const auto index = static_cast<std::size_t>(&group - groups_.data());
    return turn_[index].value_or(turnAt(InstallStage::kDrive));
  }

  std::vector<Turn> turns() const {
    std::vector<Turn> all;
    for (const std::vector<int>& group : groups_) {
      all.push_back(turnOf(group));
    }
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
  }

  /// The way that it rolls, of what goes with a panel; the gate's length else.
  Vec3 trackWay(int instance) const {
    const Instance& one = model_.instances[instance];
    const gp_XYZ open =
        locationAt(model_, one, model_.layout.drive_travel_mm).Transformation().TranslationPart();
    const gp_XYZ way = open - one.at_closed.Transformation().TranslationPart();
    const double length = way.Modulus();
    return length > 0 ? Vec3{way.X() / length, way.Y() / length, way.Z() / length} : Vec3{1, 0, 0};
  }

  /// Straight out, what is lifted from above first, small parts along their own axes; else off what
  /// it stands in, and then aside or up.
  std::vector<WayIn> waysOf(const InstallGroup& group, const std::vector<int>& there) const {
    const bool is_lifted = group.instances.size() > 1;
    const std::vector<Vec3> all = axesOf(group);
    const Bounds box = ways_.boundsOf(group.instances);
    const auto lengthOf = [&](const Vec3& from, const Vec3& begins_mm) {
      double own = 0;
      for (int axis = 0; axis < 3; ++axis) {
        own += std::abs(from[axis]) * (box.high[axis] - box.low[axis]);
      }
      return is_lifted ? ways_.wayOut_mm(group.instances, there, from, begins_mm) + kLiftedFreeMm
                       : own + kByHandMm;
    };
    std::vector<WayIn> ways;
    for (const Vec3& from : all) {
      if (!is_lifted || from[0] == 0 || from[2] > kNearlyUp) {
        ways.push_back({{from, lengthOf(from, {})}});
      }
    }
    for (const double off : offsOf(group, box)) {
      for (const Vec3& first : all) {
        if (is_lifted && (first[0] == 0 || std::abs(first[2]) > kNearlyUp)) {
          continue;  // rolled along its track, then lifted
        }
        const Vec3 gone = {off * first[0], off * first[1], off * first[2]};
        for (const Vec3& then : all) {
          if (std::abs(dot(first, then)) < kAlike && (!is_lifted || then[2] > 0)) {
            ways.push_back({{first, off}, {then, lengthOf(then, gone)}});
          }
        }
      }
    }
    if (is_lifted && put_up_.comesWithPanel(group.instances.front())) {
      const Vec3 up = {0, 0, 1};
      for (const double over : kHeldOverMm) {
        for (const double aside : kSwungMm) {
          for (const double sign : {1.0, -1.0}) {
            ways.push_back(
                {{up, over}, {{sign, 0, 0}, aside}, {up, lengthOf(up, {sign * aside, 0, over})}});
          }
        }
      }
    }
    return ways;
  }

  /// What is lifted is rolled; a panel also beyond those behind it, where its own track goes as
  /// far.
  std::vector<double> offsOf(const InstallGroup& group, const Bounds& box) const {
    if (group.instances.size() == 1) {
      return {kOffMm.begin(), kOffMm.end()};
    }
    std::vector<double> all(kRolledMm.begin(), kRolledMm.end());
    if (put_up_.comesWithPanel(group.instances.front())) {
      const int panel = model_.instances[group.instances.front()].panel;
      for (const double more : kPastOthersMm) {
        const double off = box.high[0] - box.low[0] + more;
        if (off <= model_.layout.panels.at(panel - 1).travel_mm) {
          all.push_back(off);
        }
      }
    }
    return all;
  }

  /// Up, small and welded ones' own, across, along the track: each once.
  std::vector<Vec3> axesOf(const InstallGroup& group) const {
    std::vector<Vec3> all = {{0, 0, 1}};
    const auto add = [&](const Vec3& axis) {
      for (const double sign : {1.0, -1.0}) {
        const Vec3 one = {sign * axis[0], sign * axis[1], sign * axis[2]};
        if (std::none_of(all.begin(), all.end(),
                         [&](const Vec3& known) { return dot(known, one) > kAlike; })) {
          all.push_back(one);
        }
      }
    };
    for (const int instance : group.instances) {
      if (put_up_.comesWithPanel(instance)) {
        break;
      }
      const gp_Trsf motion = model_.instances[instance].at_closed.Transformation();
      for (int axis = 3; axis >= 1; --axis) {
        add({motion.Value(1, axis), motion.Value(2, axis), motion.Value(3, axis)});
      }
    }
    add({0, 1, 0});
    add(trackWay(group.instances.front()));
    return all;
  }

  /// Takes the finished stage apart; what came out last goes in first.
  void putInOrder(InstallStep& step, const std::vector<int>& before) {
    if (step.stage == InstallStage::kConcrete || step.stage == InstallStage::kRopes) {
      return;
    }
    std::vector<InstallGroup> left = std::move(step.groups), out;
    for (bool any = true; any && !left.empty();) {
      any = false;
      for (std::size_t i = left.size(); i-- > 0;) {
        std::vector<int> there = before;
        for (std::size_t k = 0; k < left.size(); ++k) {
          if (k != i) {
            there.insert(there.end(), left[k].instances.begin(), left[k].instances.end());
          }
        }
        if (!isHeld(left, i) && findWay(left[i], there)) {
          out.push_back(std::move(left[i]));
          left.erase(left.begin() + static_cast<std::ptrdiff_t>(i));
          any = true;
        }
      }
    }
    std::reverse(out.begin(), out.end());
    left.insert(left.end(), std::make_move_iterator(out.begin()),
                std::make_move_iterator(out.end()));
    step.groups = std::move(left);
  }

  /// By a screw, a nut or what is put on it, still in: whatever the ways are, that comes out first.
  bool isHeld(const std::vector<InstallGroup>& left, std::size_t index) const {
    const auto rank = [&](std::size_t i) { return rankOf(left[i]).first; };
    for (std::size_t k = 0; k < left.size(); ++k) {
      const int holding = left[k].instances.front();
      const PartKind kind = partOf(holding).kind;
      const bool holds = isPutOn(kind) || (isFixing(kind) && kind != PartKind::kWasher);
      if (k != index && holds && rank(k) > rank(index) &&
          std::any_of(
              left[index].instances.begin(), left[index].instances.end(),
              [&](int instance) { return joined_.contains(std::minmax(holding, instance)); })) {
        return true;
      }
    }
    return false;
  }

  bool findWay(InstallGroup& group, const std::vector<int>& there) {
    std::optional<WaysIn::Meeting> first;
    for (const WayIn& way : waysOf(group, there)) {
      const auto meeting = ways_.meeting(group.instances, there, way);
      if (!meeting) {
        group.way = way;
        group.blocked.reset();
        return true;
      }
      first = first ? first : meeting;
    }
    const auto fixed =
        ways_.meeting(group.instances, put_up_.thereBefore(), waysOf(group, there).front());
    group.blocked = fixed ? fixed : first;  // what no other order of work would help
    return false;
  }

  const Model& model_;
  const PlanOrder order_;
  WaysIn ways_;
  const PutUpGroups put_up_;
  const std::vector<std::vector<int>>& groups_;
  std::set<std::pair<int, int>> joined_;  ///< instances with a contact, the smaller first
  std::vector<std::optional<Turn>> turn_;
};

}  // namespace

int Installation::blockedGroups() const {
  int count = 0;
  for (const InstallStep& step : steps) {
    count += static_cast<int>(
        std::count_if(step.groups.begin(), step.groups.end(),
                      [](const InstallGroup& group) { return group.blocked.has_value(); }));
  }
  return count;
}

bool Installation::isAnyPutOff() const {
  return std::any_of(steps.begin(), steps.end(), [](const InstallStep& step) {
    return step.stage != InstallStage::kPanel && step.panel > 0;
  });
}

Installation installationOf(const Model& model) {
  std::optional<Installation> best;
  for (const PlanOrder& order : {PlanOrder{false, false}, PlanOrder{false, true},
                                 PlanOrder{true, false}, PlanOrder{true, true}}) {
    if (model.layout.panel_count == 1 && (order.is_front_first || order.pulleys_later)) {
      continue;  // nothing that it would change
    }
    Installation plan = Planner(model, order).run(/*stops_at_blocked=*/true);
    if (plan.isProved() && !plan.isAnyPutOff()) {
      return plan;
    }
    if (plan.isProved() && !best) {
      best = std::move(plan);
    }
  }
  if (best) {
    return *best;
  }
  for (const bool pulleys_later : {false, true}) {
    Installation plan = Planner(model, {pulleys_later, false}).run(false);
    if (!best || plan.blockedGroups() < best->blockedGroups()) {
      best = std::move(plan);
    }
  }
  return *best;
}

}  // namespace leafstack
