#include "generator/loads/structure_loads.h"

#include <algorithm>
#include <cmath>

#include "generator/loads/loads_parts.h"
#include "generator/loads/wind/wind_pressure.h"

namespace leafstack {
namespace {

/// A stretch of the track over which the same panels stand behind each other.
struct Stretch {
  double from_mm = 0, to_mm = 0;
  std::vector<int> panels;
};

double shiftOf(const Model& model, int panel, double drive_mm) {
  return model.layout.goneMm(panel, drive_mm);
}

Range framedX(const Model& model, int panel, double drive_mm) {
  const PanelLayout& layout = model.layout.panel(panel);
  const double from = layout.leading_closed_mm + shiftOf(model, panel, drive_mm);
  return {from, from + layout.frame_length_mm};
}

/// Closed, nothing beyond the opening counts.
std::vector<Stretch> stretchesOf(const Model& model, double drive_mm) {
  const int count = model.layout.panel_count;
  const double last = drive_mm == 0 ? model.layout.opening_mm : 1e300;
  std::vector<double> cuts;
  for (int panel = 1; panel <= count; ++panel) {
    const Range x = framedX(model, panel, drive_mm);
    cuts.push_back(std::min(x.low, last));
    cuts.push_back(std::min(x.high, last));
  }
  std::sort(cuts.begin(), cuts.end());
  std::vector<Stretch> out;
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    Stretch stretch{cuts[i - 1], cuts[i], {}};
    const double middle = (cuts[i - 1] + cuts[i]) / 2;
    for (int panel = 1; panel <= count; ++panel) {
      const Range x = framedX(model, panel, drive_mm);
      if (x.low < middle && middle < x.high) {
        stretch.panels.push_back(panel);
      }
    }
    if (stretch.to_mm > stretch.from_mm && !stretch.panels.empty()) {
      out.push_back(std::move(stretch));
    }
  }
  return out;
}

/// What of an instance the wind sees between two X of its own panel, closed; mm2 of its outline.
double seenBetween(const Model& model, const Instance& instance, double from_mm, double to_mm) {
  const double a = model.opening_sign * instance.bounds.low[0];
  const double b = model.opening_sign * instance.bounds.high[0];
  const double low = std::max(std::min(a, b), from_mm), high = std::min(std::max(a, b), to_mm);
  return std::max(high - low, 0.0) * (instance.bounds.high[2] - instance.bounds.low[2]);
}

/// Spreads the wind on a panel between two X of its closed place over its members.
class Spreading {
 public:
  Spreading(const Model& model, const frame::GateFrame& gate)
      : model_(model),
        gate_(gate),
        load_N_mm_(gate.frame.members.size(), 0),
        members_of_(model.instances.size()) {
    for (std::size_t i = 0; i < gate.instances.size(); ++i) {
      if (gate.instances[i] >= 0) {
        members_of_[gate.instances[i]].push_back(static_cast<int>(i));
      }
    }
  }

  void spread(int panel, const Range& x_mm, double shift_mm, double force_N) {
    std::vector<std::pair<int, double>> areas;
    double sum = 0;
    for (std::size_t i = 0; i < model_.instances.size(); ++i) {
      const Instance& instance = model_.instances[i];
      if (instance.panel == panel && rowOf(model_.parts[instance.part].kind).faces_wind) {
        const double area = seenBetween(model_, instance, x_mm.low, x_mm.high);
        if (area > 0) {
          areas.emplace_back(static_cast<int>(i), area);
          sum += area;
        }
      }
    }
    const Range now{x_mm.low + shift_mm, x_mm.high + shift_mm};
    for (const auto& [instance, area] : areas) {
      const double part = force_N * area / sum;
      if (!members_of_[instance].empty()) {
        along(members_of_[instance], now, part);
      } else {
        along(gate_.bottom_rails[panel - 1], now, part / 2);
        along(gate_.top_rails[panel - 1], now, part / 2);
      }
    }
  }

  frame::Loads loads() const {
    frame::Loads out;
    for (std::size_t i = 0; i < load_N_mm_.size(); ++i) {
      if (load_N_mm_[i] != 0) {
        out.along_members.emplace_back(static_cast<int>(i), Vec3{0, load_N_mm_[i], 0});
      }
    }
    return out;
  }

 private:
  /// Over the stretch of each member that lies there; where none does, over all of the nearest.
  void along(const std::vector<int>& members, const Range& x_mm, double force_N) {
    std::vector<double> lengths;
    double sum = 0;
    for (int member : members) {
      const frame::Member& one = gate_.frame.members[member];
      const double a = gate_.frame.nodes[one.a].at[0], b = gate_.frame.nodes[one.b].at[0];
      const double length = frame::lengthMm(gate_.frame, one);
      double inside = 1;
      if (std::abs(a - b) > 1) {
        inside = std::max(0.0, std::min(std::max(a, b), x_mm.high) -
                                   std::max(std::min(a, b), x_mm.low)) /
                 std::abs(a - b);
      }
      lengths.push_back(length * inside);
      sum += lengths.back();
    }
    for (std::size_t i = 0; i < members.size(); ++i) {
      const double length = frame::lengthMm(gate_.frame, gate_.frame.members[members[i]]);
      const double share = sum > 0 ? lengths[i] / sum : 1 / static_cast<double>(members.size());
      load_N_mm_[members[i]] += force_N * share / length;
    }
  }

  const Model& model_;
  const frame::GateFrame& gate_;
  std::vector<double> load_N_mm_;
  std::vector<std::vector<int>> members_of_;
};

}  // namespace

frame::Loads windOn(const Model& model, const WindReport& wind, const frame::GateFrame& gate,
                    double drive_mm) {
  const std::vector<Stretch> stretches = stretchesOf(model, drive_mm);
  Spreading spreading(model, gate);
  const WindWall wall{stretches.front().from_mm, stretches.back().to_mm, model.spec.gate.height_mm,
                      model.spec.checks.wind_ends == WindEnds::kFree};
  for (const Stretch& stretch : stretches) {
    std::vector<double> covered;
    double open = 1, sum = 0, gross_mm2 = 0;
    for (int panel : stretch.panels) {
      const double shift = shiftOf(model, panel, drive_mm);
      const FrontArea area =
          frontArea(model, panel, stretch.from_mm - shift, stretch.to_mm - shift);
      covered.push_back(area.solidity());
      open *= 1 - area.solidity();
      sum += area.solidity();
      gross_mm2 = std::max(gross_mm2, area.gross_mm2);
    }
    const double coefficient =
        wind.is_class ? coveredShare(1 - open)
                      : coefficientAt(1 - open, meanZone(wall, stretch.from_mm, stretch.to_mm));
    const double force = wind.velocity_pressure_Pa * coefficient * gross_mm2 / kMm2PerM2;
    for (std::size_t i = 0; i < stretch.panels.size() && sum > 0; ++i) {
      const double shift = shiftOf(model, stretch.panels[i], drive_mm);
      spreading.spread(stretch.panels[i], {stretch.from_mm - shift, stretch.to_mm - shift}, shift,
                       force * covered[i] / sum);
    }
  }
  return spreading.loads();
}

namespace {

frame::Loads weightAsDrawn(const frame::Frame& frame) {
  frame::Loads out;
  for (std::size_t i = 0; i < frame.members.size(); ++i) {
    const frame::Member& member = frame.members[i];
    const double weight =
        member.metal.density_kg_m3 / kMm3PerM3 * member.section.area_mm2 * kGravity;
    if (weight > 0) {
      out.along_members.emplace_back(static_cast<int>(i), Vec3{0, 0, -weight});
    }
  }
  for (std::size_t i = 0; i < frame.nodes.size(); ++i) {
    if (frame.nodes[i].mass_kg > 0) {
      out.on_nodes.emplace_back(static_cast<int>(i),
                                frame::Six{0, 0, -frame.nodes[i].mass_kg * kGravity, 0, 0, 0});
    }
  }
  return out;
}

/// A load's own factor by where it acts: `at_once` + `rise` x.
struct Scaling {
  double at_once = 1, rise = 0;
  double at(double x_mm) const { return at_once + rise * x_mm; }
};

/// Sum, first and second moment of loads about X = 0.
struct Moments {
  double sum = 0, first = 0, second = 0;
  void add(double load, double x_mm) {
    sum += load;
    first += load * x_mm;
    second += load * x_mm * x_mm;
  }
  /// To `wanted`, acting at `wanted_x_mm`.
  Scaling to(double wanted, double wanted_x_mm) const {
    const double determinant = sum * second - first * first;
    if (!(sum > 0) || !(determinant > 0)) {
      return {};
    }
    return {(wanted * second - wanted * wanted_x_mm * first) / determinant,
            (wanted * wanted_x_mm * sum - wanted * first) / determinant};
  }
};

}  // namespace

frame::Loads weightOf(const Model& model, const frame::GateFrame& gate) {
  frame::Loads loads = weightAsDrawn(gate.frame);
  const std::vector<PanelMass> masses = panelMasses(model);
  std::vector<int> panel_of(gate.frame.nodes.size(), -1);
  for (std::size_t panel = 0; panel < gate.panel_nodes.size(); ++panel) {
    for (const int node : gate.panel_nodes[panel]) {
      panel_of[node] = static_cast<int>(panel);
    }
  }
  const auto middle = [&](int member) {
    const frame::Member& one = gate.frame.members[member];
    return (gate.frame.nodes[one.a].at[0] + gate.frame.nodes[one.b].at[0]) / 2;
  };
  // What joins a panel's tubes to wheels and guides weighs nothing of its own.
  const auto panelOf = [&](int member) { return panel_of[gate.frame.members[member].a]; };
  std::vector<Moments> drawn(masses.size());
  for (const auto& [member, load] : loads.along_members) {
    if (const int panel = panelOf(member); panel >= 0) {
      drawn[panel].add(-load[2] * frame::lengthMm(gate.frame, gate.frame.members[member]),
                       middle(member));
    }
  }
  for (const auto& [node, load] : loads.on_nodes) {
    if (panel_of[node] >= 0) {
      drawn[panel_of[node]].add(-load[2], gate.frame.nodes[node].at[0]);
    }
  }
  std::vector<Scaling> scaling;
  for (std::size_t panel = 0; panel < masses.size(); ++panel) {
    // Wheels stand where the frame's do: from there the centre of the solids is taken.
    double shift = 0;
    for (const frame::WheelPlace& wheel : gate.wheels) {
      if (wheel.panel == static_cast<int>(panel) + 1 && wheel.leading) {
        shift = gate.frame.nodes[wheel.node].at[0] - masses[panel].wheels_x_mm.front();
      }
    }
    scaling.push_back(
        drawn[panel].to(masses[panel].mass_kg * kGravity, masses[panel].centre_mm[0] + shift));
  }
  for (auto& [member, load] : loads.along_members) {
    if (const int panel = panelOf(member); panel >= 0) {
      load[2] *= scaling[panel].at(middle(member));
    }
  }
  for (auto& [node, load] : loads.on_nodes) {
    if (panel_of[node] >= 0) {
      load[2] *= scaling[panel_of[node]].at(gate.frame.nodes[node].at[0]);
    }
  }
  return loads;
}

frame::Loads pushOn(const Model& model, const frame::GateFrame& gate) {
  frame::Loads out;
  const std::vector<int>& top = gate.top_rails.back();
  out.on_nodes.emplace_back(gate.frame.members[top.front()].a,
                            frame::Six{0, model.spec.checks.push_N, 0, 0, 0, 0});
  return out;
}

}  // namespace leafstack
