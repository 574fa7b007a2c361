#include "generator/as_built/correction_program.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/terminal.h"
#include "generator/linear/linear_program.h"

namespace leafstack {
namespace {

using Factors = LinearProgram::Factors;

// Beside a change at all a millimetre of it counts little; a track's shims stand at every anchor;
// what is cut anew counts more than all that can be set. Own choice.
constexpr double kTouched = 10, kPerMm = 1, kTrackTouched = 25, kTrackPerMm = 4;
constexpr double kRelaid = 30, kRemade = 1000, kRemadePerMm = 50;
// Own choice: a clearance is aimed at a little beyond what is asked, since rows are straight lines.
constexpr double kSpareMm = 0.05;
constexpr double kShortenMost_mm = 200, kRailDownMost_mm = 150;
// Packers under motors are lower; common practice, no source.
constexpr double kHighestPackerMm = 60;

double highest(const std::vector<std::array<double, 2>>& track) {
  return std::max_element(track.begin(), track.end(),
                          [](const auto& p, const auto& q) { return p[1] < q[1]; })
      ->at(1);
}
double lowest(const std::vector<std::array<double, 2>>& track) {
  return std::min_element(track.begin(), track.end(),
                          [](const auto& p, const auto& q) { return p[1] < q[1]; })
      ->at(1);
}

class Program {
 public:
  Program(const BuiltGate& gate, const std::vector<Choice>& choices) : gate_(gate) {
    for (const Choice& choice : choices) {
      addChoice(choice);
    }
    for (int k = 1; k <= gate.drawn->panel_count; ++k) {
      addTrack(k);
    }
  }

  /// `value` at `at` plus what changes from there lies between both.
  void keep(double value, const BuiltSettings& at, const std::vector<double>& per_knob,
            const std::vector<double>& if_relaid, double least, double most) {
    Factors factors;
    double constant = value;
    const std::vector<Knob> knobs = allKnobs(gate_.drawn->panel_count);
    for (std::size_t i = 0; i < knobs.size(); ++i) {
      if (acts(per_knob[i])) {
        constant -= per_knob[i] * valueOf(at, knobs[i]);
        addKnob(knobs[i], per_knob[i], factors);
      }
    }
    for (std::size_t k = 0; k < if_relaid.size(); ++k) {
      if (acts(if_relaid[k]) && relaid_[k] >= 0) {
        constant -= at.panels[k].is_relaid ? if_relaid[k] : 0;
        factors.emplace_back(relaid_[k], if_relaid[k]);
      }
    }
    const auto bound = [&](double limit) {
      return std::isfinite(limit) ? limit - constant
             : limit > 0          ? LinearProgram::kNoBound
                                  : -LinearProgram::kNoBound;
    };
    program_.row(factors, bound(least), bound(most));
  }

  std::optional<BuiltSettings> solved() const {
    const std::vector<double> at = program_.solved();
    if (at.empty()) {
      return std::nullopt;
    }
    BuiltSettings set(gate_.drawn->panel_count);
    for (const auto& [choice, more, less] : chosen_) {
      const double steps = std::round(at[more]) - std::round(at[less]);
      valueOf(set, choice.knob) = steps * choice.step_mm;
    }
    for (std::size_t k = 0; k < relaid_.size(); ++k) {
      set.panels[k].is_relaid = relaid_[k] >= 0 && at[relaid_[k]] > 0.5;
    }
    return set;
  }

 private:
  struct Chosen {
    Choice choice;
    int more = 0, less = 0;  ///< columns, in steps
  };

  void addChoice(const Choice& choice) {
    const double step = choice.step_mm;
    const double up = std::floor(std::max(0.0, choice.most_mm) / step + 1e-9);
    const double down = std::floor(std::max(0.0, -choice.least_mm) / step + 1e-9);
    const int more = program_.wholeColumn(0, up, choice.cost_per_mm * step);
    const int less = program_.wholeColumn(0, down, choice.cost_per_mm * step);
    const int touched = program_.wholeColumn(0, 1, choice.cost);
    program_.row({{more, 1}, {less, 1}, {touched, -std::max(up, down)}}, -LinearProgram::kNoBound,
                 0);
    chosen_.push_back({choice, more, less});
  }

  void addKnob(const Knob& knob, double factor, Factors& factors) const {
    for (const Chosen& one : chosen_) {
      if (one.choice.knob.kind == knob.kind && one.choice.knob.panel == knob.panel) {
        factors.emplace_back(one.more, factor * one.choice.step_mm);
        factors.emplace_back(one.less, -factor * one.choice.step_mm);
      }
    }
  }

  /// A measured track may be laid anew: shims and grinding at every measured place.
  void addTrack(int k) {
    const auto& track = gate_.off->panel(k).track;
    relaid_.push_back(-1);
    Factors raise;
    addKnob({KnobKind::kRaise, k}, 1, raise);
    if (track.empty() || raise.empty()) {
      return;
    }
    const SiteSpec& site = gate_.spec->site;
    const int relaid = program_.wholeColumn(0, 1, kRelaid + static_cast<double>(track.size()));
    relaid_.back() = relaid;
    Factors low = raise, high = raise;
    low.emplace_back(relaid, -(highest(track) - site.grinding_most_mm));
    high.emplace_back(relaid, -lowest(track));
    program_.row(low, 0, LinearProgram::kNoBound);
    program_.row(high, -LinearProgram::kNoBound, site.shims_most_mm);
  }

  const BuiltGate& gate_;
  LinearProgram program_;
  std::vector<Chosen> chosen_;
  std::vector<int> relaid_;  ///< column by panel; -1: its track was not measured
};

}  // namespace

std::vector<Knob> allKnobs(int panels) {
  std::vector<Knob> knobs = {{KnobKind::kGuideUp}, {KnobKind::kPinionUp}, {KnobKind::kPinionAlong},
                             {KnobKind::kRackUp},  {KnobKind::kCatch},    {KnobKind::kCatchUp}};
  for (int k = 1; k <= panels; ++k) {
    for (const KnobKind kind : {KnobKind::kRaise, KnobKind::kAlong, KnobKind::kStop,
                                KnobKind::kShorten, KnobKind::kRailDown}) {
      knobs.push_back({kind, k});
    }
  }
  return knobs;
}

std::vector<Choice> choicesOf(const BuiltGate& gate, bool remaking) {
  const GateSpec& spec = *gate.spec;
  const AsBuiltSpec& built = spec.as_built;
  const Layout& drawn = *gate.drawn;
  std::vector<Choice> all;
  const auto add = [&](KnobKind kind, int panel, double least, double most, double cost,
                       double per_mm) {
    if (most - least > 0) {
      all.push_back({{kind, panel}, least, most, 0.5, cost, per_mm});
    }
  };
  add(KnobKind::kGuideUp, 0, 0, built.posts_most_mm, kTouched, kPerMm);
  add(KnobKind::kPinionUp, 0, -(drawn.heights.motor_packing_mm + spec.hardware.motor.adjust_mm),
      std::max(spec.hardware.motor.adjust_mm, kHighestPackerMm - drawn.heights.motor_packing_mm),
      kTouched, kPerMm);
  if (!gate.off->motor_is_measured) {
    add(KnobKind::kPinionAlong, 0, 0, built.stops_most_mm, kTouched, kPerMm);
  }
  const RackHardware& rack = spec.hardware.rack;
  if (rack.fixing == RackFixing::kFoot) {
    const double slot = std::max(0.0, (rack.slot_height_mm - rack.slot_width_mm) / 2);
    add(KnobKind::kRackUp, 0, -slot, slot, kTouched, kPerMm);
  }
  add(KnobKind::kCatch, 0, -built.stops_most_mm, built.stops_most_mm, kTouched, kPerMm);
  add(KnobKind::kCatchUp, 0, 0, built.posts_most_mm, kTouched, kPerMm);
  const double adjust = terminalOf(spec).adjust_mm;
  for (int k = 1; k <= drawn.panel_count; ++k) {
    const double along = k == 1 ? built.stops_most_mm : adjust;
    const bool is_measured = !gate.off->panel(k).track.empty();
    const double ground = is_measured ? highest(gate.off->panel(k).track) : 0;
    // A slab is ground down only where it was measured.
    add(KnobKind::kRaise, k, is_measured ? std::min(0.0, ground - spec.site.grinding_most_mm) : 0,
        spec.site.shims_most_mm + std::max(0.0, ground), kTrackTouched, kTrackPerMm);
    add(KnobKind::kAlong, k, -along, along, kTouched, kPerMm);
    add(KnobKind::kStop, k, -built.stops_most_mm, built.stops_most_mm, kTouched, kPerMm);
    if (remaking) {
      add(KnobKind::kShorten, k, 0, kShortenMost_mm, kRemade, kRemadePerMm);
      add(KnobKind::kRailDown, k, -kRailDownMost_mm, kRailDownMost_mm, kRemade, kRemadePerMm);
    }
  }
  return all;
}

ClearanceRow rowOf(const BuiltGate& gate, const Movers& movers, const NearPair& pair,
                   const BuiltSettings& at) {
  ClearanceRow row{pair, at, {}, {}};
  for (const Knob& knob : allKnobs(gate.drawn->panel_count)) {
    row.per_knob.push_back(movers.widens(pair, knob));
  }
  for (int k = 1; k <= gate.drawn->panel_count; ++k) {
    const PanelDeviation& off = gate.off->panel(k);
    double more = -off.track_mm * movers.widens(pair, {KnobKind::kRaise, k});
    const PanelLayout& panel = gate.drawn->panel(k);
    for (const int body : pair.bodies) {
      more += body != k ? 0
                        : std::abs(pair.apart[2]) * off.track_half_mm +
                              std::abs(pair.apart[0]) * off.tilt *
                                  (panel.top_z_mm - panel.underside_z_mm);
    }
    row.if_relaid.push_back(more);
  }
  return row;
}

std::optional<BuiltSettings> cheapest(const BuiltGate& gate, const std::vector<BuiltRule>& rules,
                                      const std::vector<ClearanceRow>& rows,
                                      const std::vector<Choice>& choices) {
  Program program(gate, choices);
  const int count = gate.drawn->panel_count;
  for (const BuiltRule& rule : rules) {
    const BuiltSettings nothing(count);
    const double value = rule.value_mm(nothing);
    std::vector<double> per_knob, if_relaid;
    for (const Knob& knob : allKnobs(count)) {
      BuiltSettings other = nothing;
      valueOf(other, knob) = 1;
      per_knob.push_back(rule.value_mm(other) - value);
    }
    for (int k = 0; k < count; ++k) {
      BuiltSettings other = nothing;
      other.panels[k].is_relaid = true;
      if_relaid.push_back(rule.value_mm(other) - value);
    }
    program.keep(value, nothing, per_knob, if_relaid, rule.least_mm, rule.most_mm);
  }
  for (const ClearanceRow& row : rows) {
    // What does already does as it is.
    const double has = row.pair.clearance_mm, asked = row.pair.required_mm;
    const double least = has < asked ? asked + kSpareMm : std::min(has, asked + kSpareMm);
    program.keep(has, row.at, row.per_knob, row.if_relaid, least, INFINITY);
  }
  return program.solved();
}

}  // namespace leafstack
