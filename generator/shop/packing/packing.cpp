#include "generator/shop/packing/packing.h"

#include <algorithm>
#include <gp_Pnt.hxx>
#include <limits>
#include <map>

namespace leafstack {
namespace {

constexpr double kWorthLifting_kg = 5;  // lighter ones go in a box

constexpr double kFarMm = std::numeric_limits<double>::infinity();

/// Instances together: extents, mass and its middle, in the layout's frame.
class Load {
 public:
  void add(const Model& model, const Instance& instance) {
    const Part& part = model.parts[instance.part];
    const double mass = part.massKg();
    const gp_Pnt centre = gp_Pnt(part.centroid_mm[0], part.centroid_mm[1], part.centroid_mm[2])
                              .Transformed(instance.at_closed.Transformation());
    const std::array<double, 3> at = {centre.X() * model.opening_sign, centre.Y(), centre.Z()};
    const bool is_mirrored = model.opening_sign < 0;
    for (int axis = 0; axis < 3; ++axis) {
      const bool swaps = axis == 0 && is_mirrored;
      const double low = swaps ? -instance.bounds.high[0] : instance.bounds.low[axis];
      const double high = swaps ? -instance.bounds.low[0] : instance.bounds.high[axis];
      low_[axis] = std::min(low_[axis], low);
      high_[axis] = std::max(high_[axis], high);
      moment_[axis] += mass * at[axis];
    }
    mass_kg_ += mass;
  }

  PackingRow row() const {
    PackingRow row;
    row.length_mm = high_[0] - low_[0];
    row.depth_mm = high_[1] - low_[1];
    row.height_mm = high_[2] - low_[2];
    row.mass_kg = mass_kg_;
    for (int axis = 0; axis < 3; ++axis) {
      row.centre_mm[axis] = mass_kg_ > 0 ? moment_[axis] / mass_kg_ - low_[axis] : 0;
    }
    return row;
  }

 private:
  std::array<double, 3> low_{kFarMm, kFarMm, kFarMm}, high_{-kFarMm, -kFarMm, -kFarMm}, moment_{};
  double mass_kg_ = 0;
};

bool isOfPanel(const Model& model, const Instance& instance) {
  const PartKind kind = model.parts[instance.part].kind;
  return instance.panel > 0 && instance.body == instance.panel && kind != PartKind::kRope &&
         kind != PartKind::kTerminal && kind != PartKind::kTerminalNut;
}

bool isLifted(const Part& part) {
  const bool is_made = part.supply == Supply::kCutTube || part.supply == Supply::kCutBar ||
                       part.supply == Supply::kCutPlate;
  return is_made && part.massKg() >= kWorthLifting_kg;
}

}  // namespace

std::vector<PackingRow> packingRows(const Model& model) {
  std::map<int, Load> panels;
  std::map<int, std::pair<Load, int>> fixed;  // by part: the first one, and how many
  for (const Instance& instance : model.instances) {
    if (isOfPanel(model, instance)) {
      panels[instance.panel].add(model, instance);
    } else if (instance.panel == 0 && isLifted(model.parts[instance.part])) {
      auto& [load, count] = fixed[instance.part];
      if (count == 0) {
        load.add(model, instance);
      }
      ++count;
    }
  }
  std::vector<PackingRow> rows;
  for (const auto& [panel, load] : panels) {
    rows.push_back(load.row());
    rows.back().what = "panel " + std::to_string(panel);
    rows.back().panel = panel;
  }
  for (const auto& [part, lot] : fixed) {
    rows.push_back(lot.first.row());
    rows.back().what = model.parts[part].name;
    rows.back().marks = model.parts[part].mark;
    rows.back().pieces = lot.second;
  }
  return rows;
}

}  // namespace leafstack
