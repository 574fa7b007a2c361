#include "generator/as_built/built/built_gate.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <gp_Trsf.hxx>
#include <gp_Vec.hxx>
#include <map>

#include "generator/as_built/built/fixed_groups.h"
#include "generator/layout/figures/keepers.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/latch.h"
#include "generator/layout/layout_parts.h"

namespace leafstack {
namespace {

void movePanel(const BuiltGate& gate, const BuiltSettings& set, int k, Layout& built) {
  const PanelDeviation& off = gate.off->panel(k);
  const PanelSetting& to = set.panel(k);
  PanelLayout& panel = built.panels[k - 1];
  const double longer = off.longer_mm - to.shorten_mm;
  const double frame_longer =
      off.frame_longer_mm - (panel.length_mm > panel.frame_length_mm ? 0 : to.shorten_mm);
  const double up = raiseOf(*gate.off, set, k).mean_mm + panel.grade * to.along_mm;
  panel.leading_closed_mm += to.along_mm;
  panel.leading_open_mm += to.along_mm;
  panel.trailing_closed_mm += to.along_mm + longer;
  panel.trailing_open_mm += to.along_mm + longer;
  panel.length_mm += longer;
  panel.frame_length_mm += frame_longer;
  panel.underside_z_mm += up;
  panel.top_z_mm += up + off.higher_leading_mm;
  panel.top_grade += (off.higher_trailing_mm - off.higher_leading_mm) / panel.frame_length_mm;
  if (k == 1) {
    built.return_start_mm += to.along_mm + frame_longer;
  }
}

void moveGuide(const BuiltGate& gate, const BuiltSettings& set, int k, Layout& built) {
  GuideLayout& guide = built.guides[k - 1];
  const double along = k == 1 ? gate.off->guide_mm : set.panel(k - 1).along_mm;
  const double rail = railUpMm(gate, set, k);
  const double channel = channelUpMm(gate, set, k);
  guide.x_mm += along;
  guide.z_mm += rail + guide.grade * (along - set.panel(k).along_mm);
  guide.channel_low_mm += channel - rail;
  guide.channel_high_mm += channel - rail;
}

/// What is set on the footing stands where it was drawn or measured, not where the panels as built
/// would have it.
class SiteMoves {
 public:
  SiteMoves(const BuiltGate& gate, const BuiltSettings& set, const Layout& built, Model& model)
      : gate_(gate), set_(set), built_(built), model_(model), groups_(fixedGroups(model)) {}

  void run() {
    for (std::size_t i = 0; i < model_.instances.size(); ++i) {
      const std::array<double, 2> by = byMm(static_cast<int>(i));
      if (by[0] != 0 || by[1] != 0) {
        move(model_.instances[i], by);
      }
    }
  }

 private:
  PartKind kindOf(int instance) const { return model_.parts[model_.instances[instance].part].kind; }

  std::array<double, 2> byMm(int instance) const {
    const PartKind kind = kindOf(instance);
    if (kind == PartKind::kLiftKeeper) {
      return {0, keeperUpMm(model_.instances[instance].panel + 1)};
    }
    if (kind == PartKind::kRack) {
      return {0, set_.rack_up_mm};
    }
    if (holdsRope(kind)) {
      return {0, ropeEndUpMm(model_.instances[instance])};
    }
    const FixedGroup& group = groups_[instance];
    switch (group.kind) {
      case FixedKind::kCatch:
        return catchByMm(kind);
      case FixedKind::kStop:
        return {stopByMm(group.panel), 0};
      case FixedKind::kMotor:
        return {0,
                gate_.off->pinion_up_mm + set_.pinion_up_mm - raiseOf(*gate_.off, set_, 1).mean_mm};
      case FixedKind::kTrack: {
        // On even ground the model has bars and flats under their wheels.
        const bool lies = built_.ground.is_surveyed || kind == PartKind::kTrackDowel;
        return {0, lies ? raiseOf(*gate_.off, set_, group.panel).mean_mm : 0};
      }
      case FixedKind::kGuide:
        return {0, kind == PartKind::kGuideArm ? armUpMm() : 0};
      case FixedKind::kGroundBracket:
      case FixedKind::kOther:
        break;
    }
    return {0, 0};
  }

  /// An overhead bracket stands where it was drawn over; the model has it over the panels as built.
  double armUpMm() const {
    if (gate_.spec->guides.mount != GuideMount::kOverhead) {
      return 0;
    }
    const double x = overheadXMm(*gate_.spec, *gate_.drawn);
    return overheadLowZ(*gate_.drawn, *gate_.spec, x) - overheadLowZ(built_, *gate_.spec, x) +
           channelUpMm(gate_, set_, 1);
  }

  static bool holdsRope(PartKind kind) {
    return kind == PartKind::kFrontBracket || kind == PartKind::kRearBracket ||
           kind == PartKind::kGroundBracket || kind == PartKind::kTerminal ||
           kind == PartKind::kTerminalNut;
  }

  double panelUpMm(int panel) const {
    return panel < 1 ? 0
                     : raiseOf(*gate_.off, set_, panel).mean_mm +
                           gate_.drawn->panel(panel).grade * set_.panel(panel).along_mm;
  }

  /// Brackets stand where they are on their panel; the model has them in line with their ropes,
  /// which go with the panel that carries them.
  double ropeEndUpMm(const Instance& end) const {
    int carrier = 1;
    if (end.panel > 0) {
      const PanelLayout& panel = built_.panel(end.panel);
      const double x = model_.opening_sign * (end.bounds.low[0] + end.bounds.high[0]) / 2;
      const bool at_trailing = x > panel.leading_closed_mm + panel.length_mm / 2;
      carrier = at_trailing ? end.panel - 1 : end.panel + 1;
    }
    return panelUpMm(end.panel) - panelUpMm(carrier);
  }

  /// Lugs go with their channel; the model has them over the rail.
  double keeperUpMm(int guide) const {
    const auto high = [&](const Layout& layout) {
      const GuideLayout& row = layout.guides.at(guide - 1);
      return row.z_mm + liftKeeper(layout.hardware, row).low_mm * row.channelCosine();
    };
    return high(*gate_.drawn) + channelUpMm(gate_, set_, guide) - high(built_);
  }

  std::array<double, 2> catchByMm(PartKind kind) const {
    const LatchLayout& drawn = drawn_latch_;
    const LatchLayout& built = built_latch_;
    const double along = drawn.face_x_mm - built.face_x_mm + gate_.off->catch_mm + set_.catch_mm;
    double up = set_.catch_up_mm;
    if (kind == PartKind::kCatchPlate) {
      up += drawn.bottom.low_z_mm - built.bottom.low_z_mm;
    } else if (kind == PartKind::kReceiver && drawn.top && built.top) {
      up += drawn.top->low_z_mm - built.top->low_z_mm + gate_.off->receiver_up_mm;
    } else if (kind == PartKind::kCatchBuffer) {
      up += gate_.drawn->panels.back().underside_z_mm - built_.panels.back().underside_z_mm;
    }
    return {along, up};
  }

  double stopByMm(int panel) const {
    const PanelDeviation& off = gate_.off->panel(panel);
    const double ends_further =
        built_.panel(panel).trailing_open_mm - gate_.drawn->panel(panel).trailing_open_mm;
    return off.stop_mm + set_.panel(panel).stop_mm - ends_further;
  }

  void move(Instance& instance, const std::array<double, 2>& by) const {
    const double x = model_.opening_sign * by[0];
    gp_Trsf shift;
    shift.SetTranslation(gp_Vec(x, 0, by[1]));
    instance.at_closed = TopLoc_Location(shift) * instance.at_closed;
    instance.bounds.low[0] += x;
    instance.bounds.high[0] += x;
    instance.bounds.low[2] += by[1];
    instance.bounds.high[2] += by[1];
  }

  const BuiltGate& gate_;
  const BuiltSettings& set_;
  const Layout& built_;
  Model& model_;
  LatchLayout drawn_latch_ = latchOf(*gate_.spec, *gate_.drawn);
  LatchLayout built_latch_ = latchOf(*gate_.spec, built_);
  std::vector<FixedGroup> groups_;
};

/// By body: a guide block that floats stands off as both panels do.
std::vector<std::array<double, 3>> byBody(
    const Layout& layout, const std::function<std::array<double, 3>(int panel)>& of_panel) {
  std::vector<std::array<double, 3>> all(layout.ground.travels.size());
  for (int k = 0; k <= layout.panel_count; ++k) {
    all[k] = of_panel(k);
  }
  for (const GuideLayout& guide : layout.guides) {
    for (const int body : {guide.block_body, guide.jaw_body}) {
      for (int axis = 0; axis < 3 && body > layout.panel_count; ++axis) {
        all[body][axis] = std::max(all[guide.panel][axis], all[guide.panel - 1][axis]);
      }
    }
  }
  return all;
}

/// What was alike as drawn may not be as built, and the other way round: every instance keeps the
/// name that is stamped on it. Parts that share a mark then are told apart by a number.
void keepMarks(const Model& drawn, Model& built) {
  const auto placesOf = [](const Model& model) {
    std::map<std::pair<PartKind, int>, std::vector<int>> places;
    for (std::size_t i = 0; i < model.instances.size(); ++i) {
      const Instance& one = model.instances[i];
      places[{model.parts[one.part].kind, one.panel}].push_back(static_cast<int>(i));
    }
    return places;
  };
  const auto before = placesOf(drawn);
  std::vector<char> is_named(built.parts.size());
  std::map<std::string, std::vector<int>> sharing;  // parts by mark
  for (const auto& [where, instances] : placesOf(built)) {
    const auto found = before.find(where);
    if (found == before.end() || found->second.size() != instances.size()) {
      continue;  // another number of them: as counted anew
    }
    for (std::size_t i = 0; i < instances.size(); ++i) {
      Instance& one = built.instances[instances[i]];
      const Instance& other = drawn.instances[found->second[i]];
      const std::string& mark = drawn.parts[other.part].mark;
      one.serial = other.serial;
      if (!is_named[one.part]) {
        is_named[one.part] = true;
        built.parts[one.part].mark = mark;
        sharing[mark].push_back(one.part);
      }
    }
  }
  for (const auto& [mark, parts] : sharing) {
    for (std::size_t i = 1; i < parts.size(); ++i) {
      built.parts[parts[i]].name += ", as built otherwise (" + std::to_string(i + 1) + ")";
    }
  }
}

}  // namespace

PanelRaise raiseOf(const Deviations& off, const BuiltSettings& set, int panel) {
  const PanelDeviation& built = off.panel(panel);
  const PanelSetting& to = set.panel(panel);
  return to.is_relaid ? PanelRaise{to.raise_mm, 0}
                      : PanelRaise{built.track_mm + to.raise_mm, built.track_half_mm};
}

double railUpMm(const BuiltGate& gate, const BuiltSettings& set, int guide) {
  const PanelLayout& panel = gate.drawn->panel(guide);
  return raiseOf(*gate.off, set, guide).mean_mm + panel.grade * set.panel(guide).along_mm +
         gate.off->panel(guide).higherMm() - set.panel(guide).rail_down_mm;
}

double channelUpMm(const BuiltGate& gate, const BuiltSettings& set, int guide) {
  if (guide == 1) {
    return gate.off->guide_up_mm + set.guide_up_mm;
  }
  const int carrier = guide - 1;
  return raiseOf(*gate.off, set, carrier).mean_mm +
         gate.drawn->panel(carrier).grade * set.panel(carrier).along_mm +
         gate.off->panel(carrier).higher_leading_mm;
}

std::array<double, 3> standsOffMm(const BuiltGate& gate, const BuiltSettings& set, int panel) {
  if (panel == 0) {
    return {};
  }
  const PanelDeviation& one = gate.off->panel(panel);
  const PanelLayout& drawn = gate.drawn->panel(panel);
  const double tilt = set.panel(panel).is_relaid ? 0 : one.tilt;
  const double fittings =
      std::max({std::abs(one.leading_pulley_mm), std::abs(one.trailing_pulley_mm),
                std::abs(one.front_bracket_mm)});
  const double uneven = std::abs(one.higher_trailing_mm - one.higher_leading_mm) / 2;
  return {std::abs(one.lean_mm) + tilt * (drawn.top_z_mm - drawn.underside_z_mm) + fittings,
          std::abs(one.bow_mm), raiseOf(*gate.off, set, panel).half_mm + uneven};
}

Layout builtLayout(const BuiltGate& gate, const BuiltSettings& set) {
  Layout built = *gate.drawn;
  built.laid = std::make_shared<const Layout>(*gate.drawn);
  const Deviations& off = *gate.off;
  for (int k = 1; k <= built.panel_count; ++k) {
    movePanel(gate, set, k, built);
    moveGuide(gate, set, k, built);
  }
  built.opening_mm += off.opening_mm;
  built.guide_mm += off.guide_mm;
  built.guide_post_mm += off.guide_mm;
  built.pinion_mm += off.pinion_mm + set.pinion_along_mm;
  built.motor_start_mm += off.pinion_mm + set.pinion_along_mm;
  built.ground_bracket_mm += off.ground_bracket_mm;
  built.ropes.clear();
  placeRopes(*gate.spec, built);
  return built;
}

Model builtModel(const BuiltGate& gate, const BuiltSettings& set, PartStore* store) {
  const Layout built = builtLayout(gate, set);
  GateSpec spec = *gate.spec;
  spec.site.opening_mm = built.opening_mm;
  Model model = buildModel(spec, built, store);
  SiteMoves(gate, set, built, model).run();
  if (gate.model != nullptr) {
    keepMarks(*gate.model, model);
  }
  model.off_mm = byBody(built, [&](int panel) { return standsOffMm(gate, set, panel); });
  model.unsure_mm = byBody(built, [&](int panel) -> std::array<double, 3> {
    const double u = gate.off->site_unsure_mm;
    return panel == 0 ? std::array<double, 3>{u, 0, u} : gate.off->panel(panel).unsure_mm;
  });
  return model;
}

}  // namespace leafstack
