#include "generator/installing/groups.h"

#include <algorithm>
#include <utility>

#include "generator/shop/packing/packing.h"

namespace leafstack {
namespace {

bool isGuideBlock(PartKind kind) {
  return kind == PartKind::kGuideBlock || kind == PartKind::kGuideJaws ||
         kind == PartKind::kPivotBolt;
}

}  // namespace

bool isFlexible(PartKind kind) {
  return kind == PartKind::kRope || kind == PartKind::kTerminal || kind == PartKind::kTerminalNut;
}

bool isThereBefore(PartKind kind) {
  return kind == PartKind::kFencePost || kind == PartKind::kObstacle;
}

bool isOfPulley(PartKind kind) {
  return kind == PartKind::kPulley || kind == PartKind::kPulleyPin ||
         kind == PartKind::kPulleyCheek || kind == PartKind::kPulleyFlange ||
         kind == PartKind::kPulleyCover || kind == PartKind::kPulleyScrew;
}

bool isFixing(PartKind kind) {
  return kind == PartKind::kScrew || kind == PartKind::kWasher || kind == PartKind::kNut;
}

PutUpGroups::PutUpGroups(const Model& model, bool pulleys_later)
    : model_(model), pulleys_later_(pulleys_later) {
  findBlocks();
  std::vector<bool> is_taken(model_.instances.size());
  const auto take = [&](std::vector<int> group) {
    for (const int instance : group) {
      is_taken[instance] = true;
    }
    if (!group.empty()) {
      groups_.push_back(std::move(group));
    }
  };
  const int count = static_cast<int>(model_.instances.size());
  for (int panel = 1; panel <= model_.layout.panel_count; ++panel) {
    std::vector<int> group;
    for (int i = 0; i < count; ++i) {
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
  for (int i = 0; i < count; ++i) {
    if (isThereBefore(kindOf(i))) {
      there_before_.push_back(i);
    } else if (!is_taken[i]) {
      take({i});
    }
  }
}

bool PutUpGroups::comesWithPanel(int instance) const {
  return travelsWithPanel(model_, model_.instances[instance]) && !is_of_block_[instance] &&
         !(pulleys_later_ && isOfPulley(kindOf(instance)));
}

void PutUpGroups::findBlocks() {
  is_of_block_.assign(model_.instances.size(), false);
  for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
    is_of_block_[i] = isGuideBlock(kindOf(i));
  }
  for (const Contact& contact : model_.contacts) {
    for (const auto& [one, other] :
         {std::pair(contact.a, contact.b), std::pair(contact.b, contact.a)}) {
      if (isFixing(kindOf(one)) && is_of_block_[other]) {
        is_of_block_[one] = true;
      }
    }
  }
}

/// An arm that no post carries goes up with the channel that is screwed to it, and its screws.
void PutUpGroups::joinArms(std::vector<std::vector<int>>& welded) const {
  const auto has = [&](const std::vector<int>& group, PartKind kind) {
    return std::any_of(group.begin(), group.end(),
                       [&](int instance) { return kindOf(instance) == kind; });
  };
  const auto touches = [&](int instance, const std::vector<int>& group) {
    return std::any_of(model_.contacts.begin(), model_.contacts.end(), [&](const Contact& contact) {
      const int other = contact.a == instance ? contact.b : contact.b == instance ? contact.a : -1;
      return std::find(group.begin(), group.end(), other) != group.end();
    });
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
    if (kindOf(i) == PartKind::kScrew && model_.instances[i].panel == 0 && touches(i, *arm) &&
        touches(i, *channel)) {
      screws.push_back(i);
    }
  }
  arm->insert(arm->end(), channel->begin(), channel->end());
  arm->insert(arm->end(), screws.begin(), screws.end());
  welded.erase(channel);
}

/// Each pulley with what touches it of its cradle, screws left out.
std::vector<std::vector<int>> PutUpGroups::cradles() const {
  // The screw in a pin goes with it; those in the flange hold the cradle to its rail.
  const auto goesAlong = [&](int from, int to) {
    return isOfPulley(kindOf(to)) &&
           (kindOf(to) != PartKind::kPulleyScrew || kindOf(from) == PartKind::kPulleyPin);
  };
  std::vector<std::vector<int>> all;
  for (int i = 0; i < static_cast<int>(model_.instances.size()); ++i) {
    if (kindOf(i) != PartKind::kPulley) {
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

}  // namespace leafstack
