#include "generator/shop/packing/packing.h"

#include <algorithm>
#include <gp_Pnt.hxx>
#include <limits>
#include <map>

#include "generator/model/splices.h"

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

  /// One piece of a rail, from X to X in the layout's frame: its share, in its middle.
  void addPiece(const Model& model, const Instance& instance, const std::array<double, 2>& along) {
    const Part& part = model.parts[instance.part];
    const bool is_mirrored = model.opening_sign < 0;
    const double from = is_mirrored ? -instance.bounds.high[0] : instance.bounds.low[0];
    const double to = is_mirrored ? -instance.bounds.low[0] : instance.bounds.high[0];
    const double low = std::max(from, along[0]), high = std::min(to, along[1]);
    if (high <= low) {
      return;
    }
    const double share = (high - low) / (to - from), mass = share * part.massKg();
    const std::array<double, 2> x = {low, high};
    low_[0] = std::min(low_[0], x[0]);
    high_[0] = std::max(high_[0], x[1]);
    moment_[0] += mass * (low + high) / 2;
    for (const int axis : {1, 2}) {
      low_[axis] = std::min(low_[axis], instance.bounds.low[axis]);
      high_[axis] = std::max(high_[axis], instance.bounds.high[axis]);
      moment_[axis] += mass * (instance.bounds.low[axis] + instance.bounds.high[axis]) / 2;
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

bool isSpliced(const Part& part) {
  return !part.splices.empty() && part.splices.front().is_on_site;
}

/// A panel in what its joints on site leave, and what lies across these by itself.
std::vector<PackingRow> partedRows(const Model& model, int panel,
                                   const std::vector<double>& joints) {
  std::vector<double> ends = {-kFarMm};
  ends.insert(ends.end(), joints.begin(), joints.end());
  ends.push_back(kFarMm);
  const std::vector<int> across = acrossSiteJoints(model, panel);
  std::vector<Load> loads(ends.size());  // the last one of what lies across
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const Instance& instance = model.instances[i];
    if (instance.panel != panel || !isOfPanel(model, instance)) {
      continue;
    }
    const double middle =
        model.opening_sign * (instance.bounds.low[0] + instance.bounds.high[0]) / 2;
    if (std::binary_search(across.begin(), across.end(), i)) {
      loads.back().add(model, instance);
      continue;
    }
    for (std::size_t k = 0; k + 1 < ends.size(); ++k) {
      if (isSpliced(model.parts[instance.part])) {
        loads[k].addPiece(model, instance, {ends[k], ends[k + 1]});
      } else if (middle >= ends[k] && middle < ends[k + 1]) {
        loads[k].add(model, instance);
      }
    }
  }
  std::vector<PackingRow> rows;
  const std::string name = "panel " + std::to_string(panel);
  for (std::size_t k = 0; k < loads.size(); ++k) {
    if (k + 1 < loads.size() || !across.empty()) {
      rows.push_back(loads[k].row());
      rows.back().panel = panel;
      rows.back().what = k + 1 < loads.size() ? name + ", length " + std::to_string(k + 1) +
                                                    " of " + std::to_string(joints.size() + 1)
                                              : name + ", loose: what lies across its joints";
    }
  }
  return rows;
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
    if (const std::vector<double> joints = siteJoints_mm(model, panel); !joints.empty()) {
      const std::vector<PackingRow> parted = partedRows(model, panel, joints);
      rows.insert(rows.end(), parted.begin(), parted.end());
      continue;
    }
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
