#include "generator/loads/structure.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/keepers.h"
#include "generator/loads/checks/axle_checks.h"
#include "generator/loads/checks/plate_checks.h"
#include "generator/loads/checks/post_checks.h"
#include "generator/loads/checks/structure_checks.h"
#include "generator/loads/details/details.h"
#include "generator/loads/frame/gate_frame.h"
#include "generator/loads/loads_parts.h"
#include "generator/loads/structure_loads.h"
#include "generator/loads/wind/wind_pressure.h"

namespace leafstack {
namespace {

using frame::GateFrame;
using frame::Response;

/// EN 1990's factor on weight where it does harm, from memory.
constexpr double kWeightFactor = 1.35;
/// Steel wheel on a steel track, neither greased nor rusty; from memory.
constexpr double kTrackFriction = 0.3;
constexpr int kFrequencies = 3;
constexpr double kHeightsOfDeflection = 50;  ///< common practice for none: see params' row
constexpr double kDegToRad = std::numbers::pi / 180;

struct State {
  const char* name;
  double share;  ///< of the drive's travel
};
constexpr State kStates[] = {{"closed", 0}, {"half open", 0.5}, {"parked", 1}};

/// a x first + b x second, of one frame.
Response combined(double a, const Response& first, double b, const Response& second) {
  Response out = first;
  for (std::size_t node = 0; node < out.moved.size(); ++node) {
    for (int i = 0; i < 6; ++i) {
      out.moved[node][i] = a * first.moved[node][i] + b * second.moved[node][i];
      out.held[node][i] = a * first.held[node][i] + b * second.held[node][i];
    }
  }
  for (std::size_t member = 0; member < out.ends.size(); ++member) {
    for (int i = 0; i < 12; ++i) {
      out.ends[member][i] = a * first.ends[member][i] + b * second.ends[member][i];
    }
    for (int i = 0; i < 3; ++i) {
      out.along[member][i] = a * first.along[member][i] + b * second.along[member][i];
    }
  }
  return out;
}

/// One position of the drive: its frame made ready, and the responses that all cases consist of.
class StateAnalysis {
 public:
  StateAnalysis(const Model& model, const WindReport& wind, const State& state)
      : model_(model),
        name_(state.name),
        gate_(frame::gateFrame(model, state.share * model.layout.drive_travel_mm)),
        solver_(gate_.frame),
        weight_(solver_.solve(weightOf(model, gate_))),
        wind_(
            solver_.solve(windOn(model, wind, gate_, state.share * model.layout.drive_travel_mm))),
        push_(solver_.solve(pushOn(model, gate_))) {
    for (const frame::HoldingPlace& receiver : gate_.receivers) {
      frame::Loads pair;
      pair.on_nodes = {{receiver.panel_node, {0, 1, 0, 0, 0, 0}},
                       {receiver.post_node, {0, -1, 0, 0, 0, 0}}};
      pairs_.push_back(solver_.solve(pair));
    }
  }

  const GateFrame& gate() const { return gate_; }
  const std::string& name() const { return name_; }
  std::vector<double> frequencies() const { return solver_.frequencies(kFrequencies); }

  /// Hands every case of the state to `take(name, response, receivers' forces, is of wind)`.
  template <typename Take>
  void eachCase(bool factored, const Take& take) const {
    const double weight = factored ? kWeightFactor : 1;
    const double wind = factored ? model_.spec.checks.wind_factor : 1;
    for (double sign : {1.0, -1.0}) {
      const std::string from = sign > 0 ? "the road" : "the property";
      received(", wind from " + from, combined(weight, weight_, sign * wind, wind_), true, take);
      if (model_.spec.checks.push_N > 0) {
        received(", push from " + from, combined(weight, weight_, sign * wind, push_), false, take);
      }
    }
  }

 private:
  double apart(const Response& response, const frame::HoldingPlace& receiver) const {
    return response.moved[receiver.panel_node][frame::kAcross] -
           response.moved[receiver.post_node][frame::kAcross];
  }

  /// Receivers push back once their play is used up: which of them do is found by trying every
  /// choice, of which just one agrees with itself.
  template <typename Take>
  void received(const std::string& name, const Response& free, bool is_wind,
                const Take& take) const {
    const int count = static_cast<int>(pairs_.size());
    std::vector<double> force(count, 0);
    int choices = 1;
    for (int i = 0; i < count; ++i) {
      choices *= kChoices;
    }
    bool is_found = false;
    for (int choice = 0; choice < choices && !is_found; ++choice) {
      is_found = solveReceivers(free, choice, force);
    }
    if (!is_found) {
      throw std::domain_error("the receivers' forces do not settle");
    }
    Response out = free;
    for (int i = 0; i < count; ++i) {
      if (force[i] != 0) {
        out = combined(1, out, force[i], pairs_[i]);
      }
    }
    take(name_ + name, out, force, is_wind);
  }

  /// A receiver is free, or stops the panel at one end of its play or at the other: which end, with
  /// two of them, does not follow from where it would stand free.
  static constexpr int kChoices = 3;

  /// Whether the receivers of `choice` (a digit of base kChoices each), pushing back, and no
  /// others, agree with where they then stand.
  bool solveReceivers(const Response& free, int choice, std::vector<double>& force) const {
    const int count = static_cast<int>(pairs_.size());
    std::vector<int> on;
    std::vector<double> side;
    for (int i = 0; i < count; ++i, choice /= kChoices) {
      force[i] = 0;
      if (choice % kChoices != 0) {
        on.push_back(i);
        side.push_back(choice % kChoices == 1 ? 1 : -1);
      }
    }
    std::vector<std::vector<double>> compliance(on.size(), std::vector<double>(on.size()));
    std::vector<double> beyond(on.size());
    for (std::size_t i = 0; i < on.size(); ++i) {
      const double gap = apart(free, gate_.receivers[on[i]]);
      beyond[i] = -(gap - side[i] * gate_.receivers[on[i]].play_mm);
      for (std::size_t j = 0; j < on.size(); ++j) {
        compliance[i][j] = apart(pairs_[on[j]], gate_.receivers[on[i]]);
      }
    }
    const std::vector<double> found = solvedDense(compliance, beyond);
    for (std::size_t i = 0; i < on.size(); ++i) {
      if (found[i] * side[i] > 0) {
        return false;  // it would pull
      }
      force[on[i]] = found[i];
    }
    constexpr double kSlackMm = 1e-9;
    for (int i = 0; i < count; ++i) {
      double gap = apart(free, gate_.receivers[i]);
      for (std::size_t j = 0; j < on.size(); ++j) {
        gap += found[j] * apart(pairs_[on[j]], gate_.receivers[i]);
      }
      if (std::abs(gap) > gate_.receivers[i].play_mm + kSlackMm) {
        return false;
      }
    }
    return true;
  }

  const Model& model_;
  const std::string name_;
  const GateFrame gate_;
  const frame::Solver solver_;
  const Response weight_, wind_, push_;
  std::vector<Response> pairs_;  ///< of one newton between panel and post at each receiver
};

/// Collects the worst of every case.
class Worst {
 public:
  Worst(const Model& model, const WindReport& wind)
      : model_(model), wind_(wind), weak_(weakPlaces(model)), posts_(model) {
    report_.deflection_limit_mm =
        model.spec.checks.deflection_mm.value_or(model.spec.gate.height_mm / kHeightsOfDeflection);
  }

  void add(const StateAnalysis& state) {
    state.eachCase(true, [&](const std::string& name, const Response& response,
                             const std::vector<double>& receivers, bool) {
      addMembers(model_, state.gate(), response, name, report_, weak_);
      posts_.addFactored(state.gate(), response, name);
      for (std::size_t i = 0; i < receivers.size(); ++i) {
        addReceiver(state.gate().receivers[i], name, std::abs(receivers[i]));
      }
    });
    state.eachCase(false, [&](const std::string& name, const Response& response,
                              const std::vector<double>& receivers, bool is_wind) {
      report_.reactions.push_back(reactionsOf(model_, state.gate(), response, receivers, name,
                                              grooveLimit(model_.spec.hardware)));
      addWheels(state.gate(), response, name);
      addBlocks(state.gate(), response, name);
      posts_.addUnfactored(state.gate(), response, name);
      if (is_wind) {
        const bool from_road = name.ends_with("the road");
        addDeflections(model_, state.gate(), response, {state.name(), name, 0, from_road, {}},
                       report_);
      }
    });
  }

  StructureReport take() {
    sortMembers(report_);
    report_.posts = posts_.take();
    addHoldingPlates(model_, report_);
    addAxles(model_.spec, report_);
    if (posts_.ears()) {
      report_.plates.push_back(*posts_.ears());
    }
    for (StructureWeld& weld : posts_.takeWelds()) {
      report_.welds.push_back(std::move(weld));
    }
    DetailWind wind{wind_.velocity_pressure_Pa, wind_.is_class, {}};
    for (const WindPanel& panel : wind_.panels) {
      wind.solidity.push_back(panel.area.solidity());
    }
    addDetails(model_, wind, report_);
    return std::move(report_);
  }

 private:
  void addReceiver(const frame::HoldingPlace& place, const std::string& name, double force_N) {
    for (StructureReceiver& one : report_.receivers) {
      if (one.name == place.name) {
        if (force_N > one.force_N) {
          one = {place.name, name, force_N, place.play_mm};
        }
        return;
      }
    }
    report_.receivers.push_back({place.name, name, force_N, place.play_mm});
  }

  void addWheels(const GateFrame& gate, const Response& response, const std::string& name) {
    const double limit = grooveLimit(model_.spec.hardware);
    const double keeper_limit = keeperLimit(model_.spec);
    for (const frame::WheelPlace& place : gate.wheels) {
      StructureWheel wheel;
      wheel.panel = place.panel;
      wheel.leading = place.leading;
      wheel.case_name = name;
      wheel.lateral_N = response.held[place.node][1];
      wheel.vertical_N = response.held[place.node][2];
      wheel.limit = limit;
      wheel.keeper_limit = keeper_limit;
      wheel.keeper_use = keeperUse(model_.spec, wheel.lateral_N);
      wheel.ratio = wheel.vertical_N > 0 ? std::abs(wheel.lateral_N) / wheel.vertical_N
                                         : std::numeric_limits<double>::infinity();
      if (wheel.ratio > 0 && std::isfinite(wheel.ratio)) {
        // Sideways force goes with the pressure, the weight stays: speed with the root.
        const double gust = std::sqrt(2 * wind_.velocity_pressure_Pa / kAirKgM3);
        wheel.climbs_at_m_s = gust * std::sqrt(limit / wheel.ratio);
      }
      const auto same = std::find_if(
          report_.wheels.begin(), report_.wheels.end(), [&](const StructureWheel& one) {
            return one.panel == wheel.panel && one.leading == wheel.leading;
          });
      wheel.most_lateral_N = std::abs(wheel.lateral_N);
      wheel.most_vertical_N = wheel.vertical_N;
      if (same == report_.wheels.end()) {
        report_.wheels.push_back(wheel);
        continue;
      }
      wheel.most_lateral_N = std::max(wheel.most_lateral_N, same->most_lateral_N);
      wheel.most_vertical_N = std::max(wheel.most_vertical_N, same->most_vertical_N);
      if (wheel.ratio > same->ratio) {
        *same = wheel;
      }
      same->most_lateral_N = wheel.most_lateral_N;
      same->most_vertical_N = wheel.most_vertical_N;
    }
  }

  void addBlocks(const GateFrame& gate, const Response& response, const std::string& name) {
    for (const frame::BlockPlace& place : gate.blocks) {
      const double force = std::abs(response.inside(gate.frame, place.link, 0).pull_N);
      const auto same =
          std::find_if(report_.blocks.begin(), report_.blocks.end(),
                       [&](const StructureBlock& one) { return one.panel == place.panel; });
      if (same == report_.blocks.end()) {
        report_.blocks.push_back({place.panel, name, force});
      } else if (force > same->force_N) {
        *same = {place.panel, name, force};
      }
    }
  }

  const Model& model_;
  const WindReport& wind_;
  const WeakPlaces weak_;
  PostChecks posts_;
  StructureReport report_;
};

}  // namespace

bool isHeld(const StructureWheel& wheel) {
  const bool is_caught = wheel.ratio <= wheel.keeper_limit && wheel.keeper_use <= 1;
  return wheel.vertical_N > 0 && (wheel.ratio <= wheel.limit || is_caught);
}

namespace {

/// Sideways over downwards that a flank as steep as this holds, of a wheel that rolls.
double nadal(double steep) {
  return std::max(0.0, (steep - kTrackFriction) / (1 + kTrackFriction * steep));
}

}  // namespace

double grooveLimit(const HardwareSpec& shelf) {
  double flank = 90 * kDegToRad;
  if (shelf.wheel.groove == GrooveKind::kV) {
    flank -= shelf.wheel.groove_deg / 2 * kDegToRad;
  } else {
    const double radius = wheelGrooveRadiusMm(shelf);
    const double depth = (shelf.wheel.outside_mm - shelf.wheel.running_mm) / 2;
    flank = std::acos(std::clamp((radius - depth) / radius, 0.0, 1.0));
  }
  return nadal(std::tan(flank));
}

double keeperLimit(const GateSpec& spec) {
  constexpr double kWhatever = std::numeric_limits<double>::infinity();
  const TrackHardware& track = spec.hardware.track;
  const TrackKeepers keepers = trackKeepers(spec);
  if (!keepers.climb_mm) {
    return 0;
  }
  const double edge = keepers.low_mm + keepers.dip_mm + *keepers.climb_mm;
  if (track.kind == TrackKind::kAngle) {
    const double upright =
        track.hasFlat() ? track.flat_mm : track.thickness_mm / std::numbers::sqrt2;
    return edge <= upright ? kWhatever : 0;
  }
  const double radius = track.size_mm / 2, above = edge - radius;
  if (above <= 0) {
    return kWhatever;
  }
  return above >= radius ? 0 : nadal(std::sqrt(radius * radius - above * above) / above);
}

StructureReport structureOf(const Model& model, const WindReport& wind, bool with_frequencies) {
  try {
    Worst worst(model, wind);
    std::vector<double> frequencies;
    for (const State& state : kStates) {
      const StateAnalysis analysis(model, wind, state);
      worst.add(analysis);
      if (with_frequencies && frequencies.empty()) {
        frequencies = analysis.frequencies();
      }
    }
    StructureReport report = worst.take();
    report.frequencies_Hz = std::move(frequencies);
    return report;
  } catch (const std::domain_error& e) {
    StructureReport report;
    report.problem = e.what();
    return report;
  }
}

}  // namespace leafstack
