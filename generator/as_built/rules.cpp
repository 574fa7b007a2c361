#include "generator/as_built/rules.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/keepers.h"
#include "generator/layout/figures/terminal.h"

namespace leafstack {
namespace {

constexpr double kNone = std::numeric_limits<double>::infinity();
// A stop that an open panel meets before it stands where it should is no stop for it. Own choice.
constexpr double kLeastStopGapMm = 0.5;
// Teeth that enter a quarter of a module less still mesh: from memory.
constexpr double kShallowOfModule = 0.25;
// Teeth mesh up to some two modules off the axis. Own choice.
constexpr double kPastMeshModules = 5;

class Rules {
 public:
  explicit Rules(const BuiltGate& gate) : gate_(gate), spec_(*gate.spec), drawn_(*gate.drawn) {}

  std::vector<BuiltRule> all() {
    for (int k = 1; k <= drawn_.panel_count; ++k) {
      addStop(k);
      addChannel(k);
      addRailEnds(k);
    }
    addCatch();
    addMesh();
    addKeepers();
    for (int k = 1; k < drawn_.panel_count; ++k) {
      addRopes(k);
    }
    return std::move(rules_);
  }

 private:
  void add(std::string what, std::function<double(const BuiltSettings&)> value, double least,
           double most) {
    rules_.push_back({std::move(what), std::move(value), least, most});
  }
  /// What guide rail k and the channel that holds it stand off, together.
  static double off(const BuiltGate& gate, const BuiltSettings& set, int k, int axis) {
    return standsOffMm(gate, set, k)[axis] + standsOffMm(gate, set, k - 1)[axis];
  }
  double leastGapMm(double gap) const {
    return std::min(std::max(kLeastStopGapMm, spec_.as_built.clearance_mm), gap);
  }
  static std::string name(int panel) { return "panel " + std::to_string(panel); }

  void addStop(int k) {
    const double gap = spec_.hardware.stop.gap_mm;
    const BuiltGate& gate = gate_;
    add(
        "the gap between " + name(k) + " and its end stop",
        [gate, k, gap](const BuiltSettings& set) {
          const PanelDeviation& off = gate.off->panel(k);
          const PanelSetting& to = set.panel(k);
          return gap + off.stop_mm + to.stop_mm - (to.along_mm + off.longer_mm - to.shorten_mm);
        },
        leastGapMm(gap), gap);
    if (drawn_.room_given) {
      add(
          "the room beyond the opening",
          [gate, k](const BuiltSettings& set) {
            return gate.off->panel(k).stop_mm + set.panel(k).stop_mm - gate.off->opening_mm;
          },
          -kNone, drawn_.room_given_mm - drawn_.room_total_mm);
    }
  }

  void addCatch() {
    const double gap = spec_.hardware.stop.gap_mm;
    const int front = drawn_.panel_count;
    const BuiltGate& gate = gate_;
    add(
        "the gap between " + name(front) + " and the catch post's buffer",
        [gate, front, gap](const BuiltSettings& set) {
          return gap + set.panel(front).along_mm - gate.off->catch_mm - set.catch_mm;
        },
        leastGapMm(gap), gap);
  }

  void addMesh() {
    const BuiltGate& gate = gate_;
    add(
        "how deep the pinion's teeth enter the rack's, against the drawing",
        [gate](const BuiltSettings& set) {
          return gate.off->pinion_up_mm + set.pinion_up_mm - set.rack_up_mm -
                 raiseOf(*gate.off, set, 1).mean_mm;
        },
        -kShallowOfModule * spec_.hardware.rack.module_mm, 0);
    // Closed, the rack goes on past the pinion's axis by what the drive may overrun; some of that
    // has to be left, teeth in mesh with it.
    add(
        "what is left of the rack past the pinion, closed",
        [gate, over = spec_.drive.motor.overrun_closed_mm](const BuiltSettings& set) {
          return over - gate.off->pinion_mm - set.pinion_along_mm + set.panel(1).along_mm;
        },
        std::min(spec_.drive.motor.overrun_closed_mm,
                 kPastMeshModules * spec_.hardware.rack.module_mm),
        kNone);
  }

  void addChannel(int k) {
    const GuideLayout& guide = drawn_.guides.at(k - 1);
    const double top = guide.blockTopMm();
    const double up = guide.channel_high_mm - top - guide.float_mm.high;
    const double down =
        top - spec_.hardware.guide.block_height_mm + guide.float_mm.low - guide.channel_low_mm;
    const BuiltGate& gate = gate_;
    const std::string what = "the place of " + name(k) + "'s guide block in its channel";
    for (const double sign : {1.0, -1.0}) {
      add(
          what,
          [gate, k, sign](const BuiltSettings& set) {
            return railUpMm(gate, set, k) - channelUpMm(gate, set, k) + sign * off(gate, set, k, 2);
          },
          sign < 0 ? -std::max(0.0, down) : -kNone, sign > 0 ? std::max(0.0, up) : kNone);
    }
  }

  /// The block stays on its rail at both ends of the travel.
  void addRailEnds(int k) {
    const GuideHardware& shelf = spec_.hardware.guide;
    const double half =
        spec_.guides.channel_width_mm / 2 - shelf.channel_wall_mm - shelf.running_gap_mm;
    const GuideLayout& guide = drawn_.guides.at(k - 1);
    const PanelLayout& panel = drawn_.panel(k);
    const BuiltGate& gate = gate_;
    const auto block = [gate, k, x = guide.x_mm](const BuiltSettings& set) {
      return x + (k == 1 ? gate.off->guide_mm : set.panel(k - 1).along_mm);
    };
    const double behind =
        k == 1 ? 0 : drawn_.panel(k - 1).leading_open_mm - drawn_.panel(k - 1).leading_closed_mm;
    add(
        "the guide rail of " + name(k) + " at its leading end",
        [block, gate, k, lead = panel.leading_open_mm, behind](const BuiltSettings& set) {
          return block(set) + behind - lead - set.panel(k).along_mm - off(gate, set, k, 0);
        },
        half, kNone);
    add(
        "the guide rail of " + name(k) + " at its trailing end",
        [block, gate, k,
         end = panel.leading_closed_mm + panel.frame_length_mm](const BuiltSettings& set) {
          return end + set.panel(k).along_mm + gate.off->panel(k).frame_longer_mm -
                 set.panel(k).shorten_mm - block(set) - off(gate, set, k, 0);
        },
        half, kNone);
  }

  /// What lifts panel k lifts those behind it until their lugs hold; the track keepers must hold as
  /// long (warnings' keepers-let-go).
  void addKeepers() {
    const double lets_go = trackKeepers(spec_).lets_go_mm - hardware::kStillHeldMm;
    for (int k = 1; k <= drawn_.panel_count; ++k) {
      const double drawn = liftMm(drawn_, k).high;
      const BuiltGate& gate = gate_;
      add(
          "how far " + name(k) + " can be lifted before its keepers hold it",
          [gate, k, drawn](const BuiltSettings& set) {
            double lift = drawn;
            for (int j = 1; j <= k; ++j) {
              lift -= railUpMm(gate, set, j) - channelUpMm(gate, set, j);
            }
            return lift;
          },
          -kNone, std::max(lets_go, drawn));
    }
  }

  void addRopes(int k) {
    const BuiltGate& gate = gate_;
    const double range = terminalOf(spec_).adjust_mm;
    for (const bool opening : {true, false}) {
      add(
          std::string("the range of panel ") + std::to_string(k) + "'s " +
              (opening ? "opening" : "closing") + " rope's terminals",
          [gate, k, opening](const BuiltSettings& set) {
            return ropeLongerMm(gate, set, k, opening);
          },
          -range, range);
    }
    const double swivel = spec_.hardware.terminal.swivel_deg / kDegreesPerRadian;
    const double most = std::max(0.0, drawn_.reach_mm * std::tan(swivel));
    const auto slant = [&](int to) {
      add(
          "how far rope ends between panels " + std::to_string(k) + " and " + std::to_string(to) +
              " stand off their ropes in height",
          [gate, k, to](const BuiltSettings& set) {
            return raiseOf(*gate.off, set, k).mean_mm -
                   (to < 1 ? 0 : raiseOf(*gate.off, set, to).mean_mm);
          },
          -most, most);
    };
    slant(k + 1);
    if (k > 1) {
      slant(k - 1);
    }
  }

  const BuiltGate& gate_;
  const GateSpec& spec_;
  const Layout& drawn_;
  std::vector<BuiltRule> rules_;
};

}  // namespace

double BuiltRule::shortMm(const BuiltSettings& set) const {
  const double value = value_mm(set);
  return std::max({0.0, least_mm - value - kLengthEqualMm, value - most_mm - kLengthEqualMm});
}

std::vector<BuiltRule> rulesOf(const BuiltGate& gate) {
  return Rules(gate).all();
}

double ropeLongerMm(const BuiltGate& gate, const BuiltSettings& set, int carrier, bool opening) {
  // Placed by hand: laying out anew would take a copy of all.
  const auto along = [&](int panel) { return panel < 1 ? 0 : set.panel(panel).along_mm; };
  const auto longer = [&](int panel) {
    return gate.off->panel(panel).longer_mm - set.panel(panel).shorten_mm;
  };
  const PanelDeviation& own = gate.off->panel(carrier);
  const double pulley =
      along(carrier) + (opening ? longer(carrier) + own.trailing_pulley_mm : own.leading_pulley_mm);
  const double front =
      along(carrier + 1) + longer(carrier + 1) + gate.off->panel(carrier + 1).front_bracket_mm;
  const double rear = carrier == 1 ? gate.off->ground_bracket_mm : along(carrier - 1);
  const double sign = opening ? 1 : -1;
  return sign * (2 * pulley - front - rear) / gate.drawn->panel(carrier).cosine();
}

}  // namespace leafstack
