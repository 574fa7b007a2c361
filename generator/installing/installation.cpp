#include "generator/installing/installation.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <gp_Trsf.hxx>
#include <set>
#include <span>

#include "generator/shop/packing/packing.h"

namespace leafstack {
namespace {

constexpr double kLiftedFreeMm = 100;  // beyond everything else, for what is lifted in whole
constexpr double kAlike = 1 - 1e-9;    // of two unit vectors
// Tried one after the other; own choice.
constexpr std::array kOffMm = {8.0, 12.0, 16.0, 20.0, 26.0, 35.0, 50.0};
constexpr std::array kRolledMm = {100.0, 250.0, 500.0, 1000.0};

bool isFlexible(PartKind kind) {
  return kind == PartKind::kRope || kind == PartKind::kTerminal || kind == PartKind::kTerminalNut;
}

bool isThere(const Part& part) {
  return part.kind == PartKind::kFencePost || part.kind == PartKind::kObstacle;
}

/// The pulley with its cradle, which slides into the rail, and the screws that hold that.
bool isOfPulley(PartKind kind) {
  return kind == PartKind::kPulley || kind == PartKind::kPulleyPin ||
         kind == PartKind::kPulleyCheek || kind == PartKind::kPulleyFlange ||
         kind == PartKind::kPulleyCover || kind == PartKind::kPulleyScrew;
}

bool isBlock(PartKind kind) {
  return kind == PartKind::kGuideBlock || kind == PartKind::kGuideJaws ||
         kind == PartKind::kPivotBolt;
}

bool isFixing(PartKind kind) {
  return kind == PartKind::kScrew || kind == PartKind::kWasher || kind == PartKind::kNut;
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

/// Stage and, of panels, which: what is compared.
using Turn = std::pair<InstallStage, int>;

class Planner {
 public:
  Planner(const Model& model, bool pulleys_later)
      : model_(model), ways_(model), pulleys_later_(pulleys_later) {
    for (const Contact& contact : model.contacts) {
      joined_.insert(std::minmax(contact.a, contact.b));
    }
  }

  Installation run(bool stops_at_blocked) {
    Installation all;
    findBlocks();
    sortInstances(all);
    giveTurns();
    std::vector<int> there = all.there_before;
    for (const Turn& turn : turns()) {
      InstallStep step{turn.first, turn.second, {}};
      for (const std::vector<int>& group : groups_) {
        if (turnOf(group) == turn) {
          step.groups.push_back({group, {}, {}, massOf(group)});
        }
      }
      ways_.pushTo(turn.first == InstallStage::kCatch ? model_.layout.drive_travel_mm : 0);
      std::stable_sort(
          step.groups.begin(), step.groups.end(),
          [&](const InstallGroup& a, const InstallGroup& b) { return rankOf(a) < rankOf(b); });
      putInOrder(step, there);
      for (const InstallGroup& group : step.groups) {
        there.insert(there.end(), group.instances.begin(), group.instances.end());
      }
      all.steps.push_back(std::move(step));
      if (stops_at_blocked && !all.isProved()) {
        return all;
      }
    }
    return all;
  }

 private:
  const Part& partOf(int instance) const { return model_.parts[model_.instances[instance].part]; }
  /// What is alike goes in together where that makes no difference; what is put on others, last.
  std::pair<int, int> rankOf(const InstallGroup& group) const {
    const PartKind kind = partOf(group.instances.front()).kind;
    const bool is_first = group.instances.size() > 1 || kind == PartKind::kMotorPacker;
    const bool is_put_on =
        kind == PartKind::kPinion || kind == PartKind::kCatchBuffer || kind == PartKind::kTubeCap;
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

  /// All that is on it but its guide blocks: they are put on where the panels stand side by side.
  bool comesWithPanel(int instance) const {
    return travelsWithPanel(model_, model_.instances[instance]) && !is_of_block_[instance] &&
           !(pulleys_later_ && isOfPulley(partOf(instance).kind));
  }
  /// Guide blocks, and what holds nothing but them.
  void findBlocks() {
    is_of_block_.assign(model_.instances.size(), false);
    std::vector<bool> holds_other(model_.instances.size());
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      is_of_block_[i] = isBlock(partOf(i).kind);
    }
    for (const Contact& contact : model_.contacts) {
      for (const auto& [one, other] :
           {std::pair(contact.a, contact.b), std::pair(contact.b, contact.a)}) {
        if (isFixing(partOf(one).kind) && is_of_block_[other]) {
          is_of_block_[one] = true;
        }
      }
    }
  }

  /// Panels and what the shop welds together are one group each; all else goes in alone.
  void sortInstances(Installation& all) {
    std::vector<bool> is_taken(model_.instances.size());
    const auto take = [&](std::vector<int> group) {
      for (const int instance : group) {
        is_taken[instance] = true;
      }
      if (!group.empty()) {
        groups_.push_back(std::move(group));
      }
    };
    for (int panel = 1; panel <= model_.layout.panel_count; ++panel) {
      std::vector<int> group;
      for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
        if (model_.instances[i].panel == panel && comesWithPanel(i)) {
          group.push_back(i);
        }
      }
      take(std::move(group));
    }
    std::vector<std::vector<int>> welded = weldedInShop(model_);
    joinArms(welded);
    for (std::vector<int>& group : welded) {
      take(std::move(group));
    }
    if (pulleys_later_) {
      for (const std::vector<int>& cradle : cradles()) {
        take(cradle);
      }
    }
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      if (isThere(partOf(i))) {
        all.there_before.push_back(i);
      } else if (!is_taken[i]) {
        take({i});
      }
    }
  }

  /// An arm that no post carries goes up with the channel that is screwed to it, and its screws.
  void joinArms(std::vector<std::vector<int>>& welded) const {
    const auto has = [&](const std::vector<int>& group, PartKind kind) {
      return std::any_of(group.begin(), group.end(),
                         [&](int instance) { return partOf(instance).kind == kind; });
    };
    const auto touches = [&](int instance, const std::vector<int>& group) {
      return std::any_of(group.begin(), group.end(),
                         [&](int other) { return joined_.contains(std::minmax(instance, other)); });
    };
    const auto arm = std::find_if(welded.begin(), welded.end(), [&](const auto& group) {
      return has(group, PartKind::kGuideArm) && !has(group, PartKind::kGuidePost);
    });
    const auto channel = std::find_if(welded.begin(), welded.end(), [&](const auto& group) {
      return has(group, PartKind::kGuideChannel);
    });
    if (arm == welded.end() || channel == welded.end() || arm == channel) {
      return;
    }
    std::vector<int> screws;
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      if (partOf(i).kind == PartKind::kScrew && model_.instances[i].panel == 0 &&
          touches(i, *arm) && touches(i, *channel)) {
        screws.push_back(i);
      }
    }
    arm->insert(arm->end(), channel->begin(), channel->end());
    arm->insert(arm->end(), screws.begin(), screws.end());
    welded.erase(channel);
  }

  /// Each pulley with what touches it of its cradle, screws left out.
  std::vector<std::vector<int>> cradles() const {
    // The screw in a pin goes with it; those in the flange hold the cradle to its rail.
    const auto goesAlong = [&](int from, int to) {
      return isOfPulley(partOf(to).kind) && (partOf(to).kind != PartKind::kPulleyScrew ||
                                             partOf(from).kind == PartKind::kPulleyPin);
    };
    std::vector<std::vector<int>> all;
    for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
      if (partOf(i).kind != PartKind::kPulley) {
        continue;
      }
      std::vector<int> cradle = {i};
      for (std::size_t k = 0; k < cradle.size(); ++k) {
        for (const Contact& contact : model_.contacts) {
          for (const auto& [one, other] :
               {std::pair(contact.a, contact.b), std::pair(contact.b, contact.a)}) {
            if (one == cradle[k] && goesAlong(one, other) &&
                std::find(cradle.begin(), cradle.end(), other) == cradle.end()) {
              cradle.push_back(other);
            }
          }
        }
      }
      all.push_back(std::move(cradle));
    }
    return all;
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

  std::optional<Turn> ownTurn(const std::vector<int>& group) const {
    const Instance& first = model_.instances[group.front()];
    if (isFlexible(partOf(group.front()).kind)) {
      return Turn{InstallStage::kRopes, 0};
    }
    if (first.panel > 0 && comesWithPanel(group.front())) {
      return Turn{InstallStage::kPanel, first.panel};
    }
    if (pulleys_later_ && isOfPulley(partOf(group.front()).kind)) {
      return Turn{InstallStage::kPulleys, 0};
    }
    // A plate goes with what stands on it, an arm with its post.
    std::optional<InstallStage> plate, other;
    for (const int instance : group) {
      const PartKind kind = partOf(instance).kind;
      if (kind == PartKind::kGuidePost) {
        return Turn{InstallStage::kPosts, 0};
      }
      const std::optional<InstallStage> stage = stageOf(kind);
      if (stage && kind == PartKind::kBasePlate) {
        plate = stage;
      } else if (stage && (!other || *stage < *other)) {
        other = stage;
      }
    }
    const std::optional<InstallStage> stage = other ? other : plate;
    return stage ? std::optional(Turn{*stage, 0}) : std::nullopt;
  }

  Turn turnOf(const std::vector<int>& group) const {
    const auto index = static_cast<std::size_t>(&group - groups_.data());
    return turn_[index].value_or(Turn{InstallStage::kDrive, 0});
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
    if (!is_lifted) {
      const gp_Trsf motion = model_.instances[group.instances.front()].at_closed.Transformation();
      for (int axis = 3; axis >= 1; --axis) {
        add({motion.Value(1, axis), motion.Value(2, axis), motion.Value(3, axis)});
      }
    }
    add({0, 1, 0});
    add(trackWay(group.instances.front()));
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
      if (!is_lifted || from[0] == 0) {
        ways.push_back({{from, lengthOf(from, {})}});
      }
    }
    for (const double off : is_lifted ? std::span<const double>(kRolledMm) : kOffMm) {
      for (const Vec3& first : all) {
        if (is_lifted && first[0] == 0) {
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
    return ways;
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

  /// By a screw or nut of the stage that is still in: whatever the ways are, that comes out first.
  bool isHeld(const std::vector<InstallGroup>& left, std::size_t index) const {
    const auto rank = [&](std::size_t i) { return rankOf(left[i]).first; };
    for (std::size_t k = 0; k < left.size(); ++k) {
      const int fixing = left[k].instances.front();
      if (k != index && isFixing(partOf(fixing).kind) && partOf(fixing).kind != PartKind::kWasher &&
          rank(k) > rank(index) &&
          std::any_of(
              left[index].instances.begin(), left[index].instances.end(),
              [&](int instance) { return joined_.contains(std::minmax(fixing, instance)); })) {
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
    group.blocked = first;
    return false;
  }

  const Model& model_;
  WaysIn ways_;
  const bool pulleys_later_;
  std::set<std::pair<int, int>> joined_;  ///< instances with a contact, the smaller first
  std::vector<bool> is_of_block_;         ///< by instance
  std::vector<std::vector<int>> groups_;
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

Installation installationOf(const Model& model) {
  Installation plain = Planner(model, false).run(/*stops_at_blocked=*/true);
  if (plain.isProved()) {
    return plain;
  }
  Installation later = Planner(model, true).run(false);
  if (later.isProved()) {
    return later;
  }
  plain = Planner(model, false).run(false);
  return later.blockedGroups() < plain.blockedGroups() ? later : plain;
}

}  // namespace leafstack
