#include "generator/as_built/near_pairs.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>
#include <tuple>

#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/proof.h"
#include "generator/clash/proof/requirements.h"
#include "generator/clash/report/finding_part.h"
#include "generator/geometry/in_parallel.h"

namespace leafstack {
namespace {

/// A pair whose bounds come near, and how near it comes.
struct Asked {
  int a = 0, b = 0;
  double required_mm = 0, enough_mm = 0;
  Stretch near;
  Clearance least;
};

/// Model X to layout X and back.
Vec3 turned(const Model& model, Vec3 v) {
  v[0] *= model.opening_sign;
  return v;
}

/// Where a point that is in the gate's frame at `drive_mm` is at closed.
Vec3 atClosed(const Model& model, int body, const Vec3& point, double drive_mm) {
  return carried(inverse(model.poseAt(body, drive_mm)), point);
}

double requiredOf(const Model& model, int a, int b) {
  if (model.instances[a].body == model.instances[b].body) {
    return 0;  // they must not meet
  }
  const Part& one = model.parts[model.instances[a].part];
  const Part& other = model.parts[model.instances[b].part];
  const Requirement drawn =
      withCoats(requiredClearance(model.spec, one.kind, other.kind), model.spec.shop, one, other);
  return model.unsure_mm.empty() ? drawn.clearance_mm
                                 : std::min(drawn.clearance_mm, model.spec.as_built.clearance_mm);
}

/// What stops a panel, with all that holds it: a rule keeps the panel off, and what stands behind a
/// buffer that a panel reaches into says the wrong way out.
bool isOfStop(const Model& model, const std::vector<FixedGroup>& groups, int instance) {
  const PartKind kind = model.parts[model.instances[instance].part].kind;
  return groups[instance].kind == FixedKind::kStop ||
         (groups[instance].kind == FixedKind::kCatch && kind != PartKind::kCatchPlate &&
          kind != PartKind::kReceiver);
}

double offAlong(const Model& model, const NearPair& pair) {
  double off = 0;
  for (const int body : pair.bodies) {
    for (int axis = 0; axis < 3 && !model.off_mm.empty(); ++axis) {
      off += std::abs(pair.apart[axis]) * model.off_mm[body][axis];
    }
  }
  return off;
}

/// What stands apart on the footing is set along the track; by its bounds, which may ask for a
/// little more than it takes.
bool takeApartAlong(const Model& model, const Finding& finding, NearPair& pair) {
  if (pair.bodies[0] != pair.bodies[1] || !(finding.depth_mm > 0)) {
    return false;
  }
  const Bounds& one = model.instances[pair.instances[0]].bounds;
  const Bounds& other = model.instances[pair.instances[1]].bounds;
  const double way = one.low[0] + one.high[0] < other.low[0] + other.high[0] ? 1 : -1;
  pair.apart = turned(model, {way, 0, 0});
  pair.clearance_mm = std::max(one.low[0], other.low[0]) - std::min(one.high[0], other.high[0]) -
                      offAlong(model, pair);
  return true;
}

/// Where two parts run into each other towards one end of the travel, the way out is to stand as
/// much further back along it as they go together from there on. False where they meet otherwise.
bool takeOffItsEnd(const Model& model, const Finding& finding, NearPair& pair) {
  constexpr double kAtEndMm = 0.01;
  const double travel = model.layout.drive_travel_mm;
  const Stretch meet{finding.fromMm(), finding.toMm()};
  const bool from_closed = meet.from_mm <= kAtEndMm;
  const bool until_open = meet.to_mm >= travel - kAtEndMm;
  if (!(finding.depth_mm > 0) || finding.stretches_mm.size() != 1 || from_closed == until_open) {
    return false;
  }
  const auto apartAt = [&](double drive_mm) {
    const auto place = [&](int side) {
      return carried(model.poseAt(pair.bodies[side], drive_mm),
                     turned(model, pair.points_mm[side]));
    };
    return minus(place(1), place(0));
  };
  const Vec3 together = minus(apartAt(meet.to_mm), apartAt(meet.from_mm));
  const double way = norm(together);
  if (way < kAtEndMm) {
    return false;
  }
  const double back = until_open ? -1 : 1;
  pair.apart =
      turned(model, {back * together[0] / way, back * together[1] / way, back * together[2] / way});
  pair.clearance_mm = -way - offAlong(model, pair);
  return true;
}

}  // namespace

double& valueOf(BuiltSettings& set, const Knob& knob) {
  switch (knob.kind) {
    case KnobKind::kRaise:
      return set.panels.at(knob.panel - 1).raise_mm;
    case KnobKind::kAlong:
      return set.panels.at(knob.panel - 1).along_mm;
    case KnobKind::kStop:
      return set.panels.at(knob.panel - 1).stop_mm;
    case KnobKind::kGuideUp:
      return set.guide_up_mm;
    case KnobKind::kPinionUp:
      return set.pinion_up_mm;
    case KnobKind::kPinionAlong:
      return set.pinion_along_mm;
    case KnobKind::kRackUp:
      return set.rack_up_mm;
    case KnobKind::kCatch:
      return set.catch_mm;
    case KnobKind::kCatchUp:
      return set.catch_up_mm;
    case KnobKind::kShorten:
      return set.panels.at(knob.panel - 1).shorten_mm;
    case KnobKind::kRailDown:
      return set.panels.at(knob.panel - 1).rail_down_mm;
    case KnobKind::kChannelUp:
      break;
  }
  throw std::logic_error("no such knob");
}

double valueOf(const BuiltSettings& set, const Knob& knob) {
  return valueOf(const_cast<BuiltSettings&>(set), knob);
}

Movers::Movers(const Model& model) : model_(model), groups_(fixedGroups(model)) {}

Vec3 Movers::moves(const Knob& knob, int instance, const Vec3& closed_mm) const {
  const Instance& placed = model_.instances[instance];
  const PartKind kind = model_.parts[placed.part].kind;
  const FixedGroup& group = groups_[instance];
  const bool is_block =
      kind == PartKind::kGuideBlock || kind == PartKind::kGuideJaws || kind == PartKind::kPivotBolt;
  // A block goes with its channel along the track and with its rail in height.
  const int along_with = placed.panel;
  const int up_with = is_block ? placed.panel + 1 : placed.panel;
  const bool on_fixed_channel =
      placed.body == 0 && (kind == PartKind::kGuideChannel || kind == PartKind::kLiftKeeper ||
                           kind == PartKind::kChannelPacker);
  switch (knob.kind) {
    case KnobKind::kAlong: {
      if (along_with != knob.panel) {
        return {};
      }
      return {1, 0, model_.layout.panel(knob.panel).grade};
    }
    case KnobKind::kRaise: {
      const bool is_track = group.kind == FixedKind::kTrack && group.panel == knob.panel;
      return {0, 0, up_with == knob.panel || is_track ? 1.0 : 0.0};
    }
    case KnobKind::kStop:
      return {group.kind == FixedKind::kStop && group.panel == knob.panel ? 1.0 : 0.0, 0, 0};
    case KnobKind::kGuideUp:
      return {0, 0, on_fixed_channel || group.kind == FixedKind::kGuide ? 1.0 : 0.0};
    case KnobKind::kPinionAlong:
      return {group.kind == FixedKind::kMotor ? 1.0 : 0.0, 0, 0};
    case KnobKind::kPinionUp:
      return {0, 0, group.kind == FixedKind::kMotor ? 1.0 : 0.0};
    case KnobKind::kRackUp:
      return {0, 0, kind == PartKind::kRack ? 1.0 : 0.0};
    case KnobKind::kCatch:
      return {group.kind == FixedKind::kCatch ? 1.0 : 0.0, 0, 0};
    case KnobKind::kCatchUp:
      return {0, 0, group.kind == FixedKind::kCatch ? 1.0 : 0.0};
    case KnobKind::kShorten: {
      if (placed.panel != knob.panel || is_block) {
        return {};
      }
      const PanelLayout& panel = model_.layout.panel(knob.panel);
      const double middle = panel.leading_closed_mm + panel.length_mm / 2;
      return {closed_mm[0] > middle ? -1.0 : 0.0, 0, 0};
    }
    case KnobKind::kRailDown: {
      const bool with_rail = (kind == PartKind::kGuideRail && placed.panel == knob.panel) ||
                             (is_block && placed.panel + 1 == knob.panel);
      return {0, 0, with_rail ? -1.0 : 0.0};
    }
    case KnobKind::kChannelUp: {
      const bool is_channel = kind == PartKind::kGuideChannel || kind == PartKind::kLiftKeeper;
      return {0, 0, is_channel && placed.panel == knob.panel ? 1.0 : 0.0};
    }
  }
  return {};
}

bool Movers::isOf(int instance, FixedKind kind) const {
  return groups_[instance].kind == kind;
}

double Movers::widens(const NearPair& pair, const Knob& knob) const {
  return dot(pair.apart, minus(moves(knob, pair.instances[1], pair.points_mm[1]),
                               moves(knob, pair.instances[0], pair.points_mm[0])));
}

bool isRopeEnd(const Model& model, int a, int b) {
  const auto kindOf = [&](int instance) {
    return model.parts[model.instances[instance].part].kind;
  };
  const auto ends = [&](int rope, int other) {
    const PartKind kind = kindOf(other);
    return kindOf(rope) == PartKind::kRope &&
           (kind == PartKind::kTerminal || kind == PartKind::kTerminalNut ||
            kind == PartKind::kFrontBracket || kind == PartKind::kRearBracket ||
            kind == PartKind::kGroundBracket);
  };
  return ends(a, b) || ends(b, a);
}

std::vector<NearPair> nearPairs(const Model& model, double within_mm, ProofStore* store) {
  PlacedShapes shapes(model, store != nullptr ? &store->meshes : nullptr);
  const std::vector<FixedGroup> groups = fixedGroups(model);
  std::vector<std::vector<int>> declared(model.instances.size());
  for (const Contact& contact : model.contacts) {
    declared[contact.a].push_back(contact.b);
    declared[contact.b].push_back(contact.a);
  }
  const auto part_count = static_cast<int>(model.parts.size());
  std::vector<double> required_of_parts(model.parts.size() * model.parts.size(), -1);
  const auto requiredBy = [&](int a, int b) {
    if (model.instances[a].body == model.instances[b].body) {
      return requiredOf(model, a, b);
    }
    double& known =
        required_of_parts[model.instances[a].part * part_count + model.instances[b].part];
    known = known < 0 ? requiredOf(model, a, b) : known;
    return known;
  };
  std::vector<Asked> asked;
  const int count = static_cast<int>(model.instances.size());
  for (int a = 0; a < count; ++a) {
    for (int b = a + 1; b < count; ++b) {
      if (isForTheDrawing(model, groups, a, b) || isOfStop(model, groups, a) ||
          isOfStop(model, groups, b) || isRopeEnd(model, a, b) ||
          std::find(declared[a].begin(), declared[a].end(), b) != declared[a].end()) {
        continue;
      }
      const double required = requiredBy(a, b);
      const Vec3 free = shapes.playBetween(a, b);
      const double enough = required + within_mm + std::max({free[0], free[1], free[2]});
      if (const auto near = nearStretch(shapes, a, b, enough)) {
        asked.push_back({a, b, required, enough, *near, {}});
      }
    }
  }
  inParallel(static_cast<int>(asked.size()), [&](int i) {
    Asked& one = asked[i];
    Effort effort(100'000);
    const PairQuery query{.a = one.a, .b = one.b, .effort = &effort};
    one.least = leastBetween(shapes, query, one.near, {.enough_mm = one.enough_mm});
  });
  using Key = std::tuple<std::string, int, std::string, int, int, int, int>;
  std::map<Key, NearPair> tightest;
  for (const Asked& one : asked) {
    const Clearance& least = one.least;
    const Vec3 between = minus(least.on_b, least.on_a);
    const double apart = norm(between);
    if (!(least.clearance_mm < one.enough_mm) || apart < kTouchMm) {
      continue;  // what overlaps is a finding, which knows the way out
    }
    NearPair pair;
    pair.a = describe(model, one.a);
    pair.b = describe(model, one.b);
    pair.required_mm = one.required_mm;
    pair.at_mm = least.at_mm;
    pair.instances = {one.a, one.b};
    pair.bodies = {model.instances[one.a].body, model.instances[one.b].body};
    pair.apart = turned(model, {between[0] / apart, between[1] / apart, between[2] / apart});
    pair.points_mm = {turned(model, atClosed(model, pair.bodies[0], least.on_a, least.at_mm)),
                      turned(model, atClosed(model, pair.bodies[1], least.on_b, least.at_mm))};
    pair.clearance_mm = least.clearance_mm - offAlong(model, pair);
    const auto round = [](double v) { return static_cast<int>(std::lround(4 * v)); };
    const Key key{pair.a.mark,          pair.a.panel,         pair.b.mark,         pair.b.panel,
                  round(pair.apart[0]), round(pair.apart[1]), round(pair.apart[2])};
    const auto [known, is_new] = tightest.try_emplace(key, pair);
    if (!is_new && pair.clearance_mm < known->second.clearance_mm) {
      known->second = pair;
    }
  }
  std::vector<NearPair> all;
  for (auto& [key, pair] : tightest) {
    all.push_back(std::move(pair));
  }
  return all;
}

std::vector<NearPair> pairsOf(const Model& model, const std::vector<Finding>& findings,
                              bool off_ends) {
  const std::vector<FixedGroup> groups = fixedGroups(model);
  std::vector<NearPair> pairs;
  for (const Finding& finding : findings) {
    const bool is_declared =
        std::any_of(model.contacts.begin(), model.contacts.end(), [&](const Contact& contact) {
          return (contact.a == finding.instance_a && contact.b == finding.instance_b) ||
                 (contact.b == finding.instance_a && contact.a == finding.instance_b);
        });
    const bool is_lost = finding.finding_class == FindingClass::kContactLost;
    const bool is_in_stop = finding.depth_mm > 0 && (isOfStop(model, groups, finding.instance_a) ||
                                                     isOfStop(model, groups, finding.instance_b));
    if (is_lost || is_declared || is_in_stop) {
      continue;  // rules say what those ask
    }
    NearPair pair;
    pair.a = finding.a;
    pair.b = finding.b;
    // Of the finding's own, what bodies stand off is part.
    pair.required_mm = requiredOf(model, finding.instance_a, finding.instance_b);
    pair.at_mm = finding.worst_at_mm;
    pair.instances = {finding.instance_a, finding.instance_b};
    pair.bodies = {model.instances[finding.instance_a].body,
                   model.instances[finding.instance_b].body};
    for (int side : {0, 1}) {
      pair.points_mm[side] =
          turned(model, atClosed(model, pair.bodies[side], finding.points_mm[side], pair.at_mm));
    }
    if (takeApartAlong(model, finding, pair) || (off_ends && takeOffItsEnd(model, finding, pair))) {
      pairs.push_back(std::move(pair));
      continue;
    }
    const Vec3 between = minus(finding.points_mm[1], finding.points_mm[0]);
    const bool is_deep = finding.depth_mm > 0;
    const double apart = norm(between);
    if (!is_deep && apart < kTouchMm) {
      continue;
    }
    pair.clearance_mm = is_deep ? -finding.depth_mm : finding.clearance_mm;
    pair.apart =
        turned(model, is_deep ? finding.depth_direction
                              : Vec3{between[0] / apart, between[1] / apart, between[2] / apart});
    pair.clearance_mm -= offAlong(model, pair);
    pairs.push_back(std::move(pair));
  }
  return pairs;
}

}  // namespace leafstack
