#include "generator/as_built/built/fixed_groups.h"

#include <cmath>
#include <limits>

namespace leafstack {
namespace {

PartKind kindOf(const Model& model, int instance) {
  return model.parts[model.instances[instance].part].kind;
}

bool isGround(PartKind kind) {
  return kind == PartKind::kFooting || kind == PartKind::kFencePost || kind == PartKind::kObstacle;
}

FixedKind groupOf(PartKind kind) {
  switch (kind) {
    case PartKind::kCatchPost:
      return FixedKind::kCatch;
    case PartKind::kEndStop:
      return FixedKind::kStop;
    case PartKind::kMotor:
      return FixedKind::kMotor;
    case PartKind::kTrack:
      return FixedKind::kTrack;
    case PartKind::kGuidePost:
    case PartKind::kGuideArm:
      return FixedKind::kGuide;
    case PartKind::kGroundBracket:
      return FixedKind::kGroundBracket;
    default:
      return FixedKind::kOther;
  }
}

/// The panel on whose track it stands: the nearest across.
int panelAt(const Model& model, const Instance& instance) {
  const double y = (instance.bounds.low[1] + instance.bounds.high[1]) / 2;
  int nearest = 0;
  double least = std::numeric_limits<double>::infinity();
  for (const PanelLayout& panel : model.layout.panels) {
    const double off = std::abs(panel.front_y_mm + model.layout.stack.frame_depth_mm / 2 - y);
    if (off < least) {
      least = off;
      nearest = panel.number;
    }
  }
  return nearest;
}

}  // namespace

std::vector<FixedGroup> fixedGroups(const Model& model) {
  const auto isLoose = [&](int i) {
    return model.instances[i].body == 0 && !isGround(kindOf(model, i));
  };
  std::vector<std::vector<int>> joined(model.instances.size());
  for (const Contact& contact : model.contacts) {
    if (isLoose(contact.a) && isLoose(contact.b)) {
      joined[contact.a].push_back(contact.b);
      joined[contact.b].push_back(contact.a);
    }
  }
  std::vector<FixedGroup> groups(model.instances.size());
  std::vector<char> is_seen(model.instances.size());
  for (std::size_t i = 0; i < model.instances.size(); ++i) {
    const int start = static_cast<int>(i);
    const FixedKind kind = isLoose(start) ? groupOf(kindOf(model, start)) : FixedKind::kOther;
    if (kind == FixedKind::kOther || is_seen[start]) {
      continue;
    }
    const FixedGroup group{kind, panelAt(model, model.instances[start])};
    std::vector<int> open = {start};
    is_seen[start] = true;
    while (!open.empty()) {
      const int one = open.back();
      open.pop_back();
      groups[one] = group;
      for (const int next : joined[one]) {
        if (!is_seen[next]) {
          is_seen[next] = true;
          open.push_back(next);
        }
      }
    }
  }
  return groups;
}

bool isForTheDrawing(const Model& model, const std::vector<FixedGroup>& groups, int a, int b) {
  if (model.instances[a].body != model.instances[b].body) {
    return false;
  }
  const auto stands = [&](int instance) {
    const FixedKind kind = groups[instance].kind;
    return kind != FixedKind::kOther && kind != FixedKind::kTrack;
  };
  const auto isOthers = [&](int instance) {
    const PartKind kind = model.parts[model.instances[instance].part].kind;
    return kind == PartKind::kFencePost || kind == PartKind::kObstacle;
  };
  const bool is_one = groups[a].kind == groups[b].kind && groups[a].panel == groups[b].panel;
  const bool are_apart = model.instances[a].body == 0 && !is_one && (stands(a) || isOthers(a)) &&
                         (stands(b) || isOthers(b)) && (stands(a) || stands(b));
  return !are_apart;
}

}  // namespace leafstack
