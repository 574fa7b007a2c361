#include "generator/shop/packing/packing.h"

#include <algorithm>
#include <cmath>
#include <gp_Pnt.hxx>
#include <limits>
#include <map>
#include <numbers>
#include <numeric>

#include "generator/model/splices.h"

namespace leafstack {
namespace {

constexpr double kWorthLifting_kg = 5;  // lighter ones go in a box

constexpr double kFarMm = std::numeric_limits<double>::infinity();

/// Instances together: extents, mass and its middle, in the layout's frame; of what leans, in one
/// that leans as much.
class Load {
 public:
  Load() = default;
  explicit Load(double lean_rad) : cosine_(std::cos(lean_rad)), sine_(std::sin(lean_rad)) {}

  void add(const Model& model, const Instance& instance) {
    const Part& part = model.parts[instance.part];
    const double mass = part.massKg();
    const gp_Pnt centre = gp_Pnt(part.centroid_mm[0], part.centroid_mm[1], part.centroid_mm[2])
                              .Transformed(instance.at_closed.Transformation());
    const std::array<double, 3> at = leant(model, {centre.X(), centre.Y(), centre.Z()});
    const Bounds box = sine_ == 0 ? instance.bounds : leantBox(model, instance);
    const bool is_mirrored = sine_ == 0 && model.opening_sign < 0;
    for (int axis = 0; axis < 3; ++axis) {
      const bool swaps = axis == 0 && is_mirrored;
      const double low = swaps ? -box.high[0] : box.low[axis];
      const double high = swaps ? -box.low[0] : box.high[axis];
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
  /// From the gate's frame.
  std::array<double, 3> leant(const Model& model, const std::array<double, 3>& point) const {
    const double x = cosine_ * point[0] + sine_ * point[2];
    return {x * model.opening_sign, point[1], cosine_ * point[2] - sine_ * point[0]};
  }
  Bounds leantBox(const Model& model, const Instance& instance) const {
    const Bounds& own = model.parts[instance.part].bounds;
    Bounds box{{kFarMm, kFarMm, kFarMm}, {-kFarMm, -kFarMm, -kFarMm}};
    for (int corner = 0; corner < 8; ++corner) {
      gp_Pnt point((corner & 1) != 0 ? own.high[0] : own.low[0],
                   (corner & 2) != 0 ? own.high[1] : own.low[1],
                   (corner & 4) != 0 ? own.high[2] : own.low[2]);
      point.Transform(instance.at_closed.Transformation());
      const std::array<double, 3> at = leant(model, {point.X(), point.Y(), point.Z()});
      for (int axis = 0; axis < 3; ++axis) {
        box.low[axis] = std::min(box.low[axis], at[axis]);
        box.high[axis] = std::max(box.high[axis], at[axis]);
      }
    }
    return box;
  }

  double cosine_ = 1, sine_ = 0;
  std::array<double, 3> low_{kFarMm, kFarMm, kFarMm}, high_{-kFarMm, -kFarMm, -kFarMm}, moment_{};
  double mass_kg_ = 0;
};

bool isSpliced(const Part& part) {
  return !part.splices.empty() && part.splices.front().is_on_site;
}

bool isOnPanel(const Model& model, int instance, const std::vector<bool>& comes_later) {
  return travelsWithPanel(model, model.instances[instance]) &&
         (comes_later.empty() || !comes_later[instance]);
}

/// A panel in what its joints on site leave, and what lies across these by itself.
std::vector<PackingRow> partedRows(const Model& model, int panel, const std::vector<double>& joints,
                                   const std::vector<bool>& comes_later) {
  std::vector<double> ends = {-kFarMm};
  ends.insert(ends.end(), joints.begin(), joints.end());
  ends.push_back(kFarMm);
  const std::vector<int> across = acrossSiteJoints(model, panel);
  std::vector<Load> loads(ends.size());  // the last one of what lies across
  std::vector<std::vector<int>> instances(ends.size());
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const Instance& instance = model.instances[i];
    if (instance.panel != panel || !isOnPanel(model, i, comes_later)) {
      continue;
    }
    const double middle =
        model.opening_sign * (instance.bounds.low[0] + instance.bounds.high[0]) / 2;
    if (std::binary_search(across.begin(), across.end(), i)) {
      loads.back().add(model, instance);
      instances.back().push_back(i);
      continue;
    }
    for (std::size_t k = 0; k + 1 < ends.size(); ++k) {
      if (isSpliced(model.parts[instance.part])) {
        loads[k].addPiece(model, instance, {ends[k], ends[k + 1]});
        instances[k].push_back(i);
      } else if (middle >= ends[k] && middle < ends[k + 1]) {
        loads[k].add(model, instance);
        instances[k].push_back(i);
      }
    }
  }
  std::vector<PackingRow> rows;
  const std::string name = "panel " + std::to_string(panel);
  for (std::size_t k = 0; k < loads.size(); ++k) {
    if (k + 1 < loads.size() || !across.empty()) {
      rows.push_back(loads[k].row());
      rows.back().panel = panel;
      rows.back().instances = std::move(instances[k]);
      rows.back().what = k + 1 < loads.size() ? name + ", length " + std::to_string(k + 1) +
                                                    " of " + std::to_string(joints.size() + 1)
                                              : name + ", loose: what lies across its joints";
    }
  }
  return rows;
}

/// Along the heaviest part where that leans, so that a bar on a slope is as long as it is cut.
double leanOf(const Model& model, int instance) {
  constexpr double kHalfTurn = std::numbers::pi, kUpright = std::numbers::pi / 4;
  const gp_Trsf motion = model.instances[instance].at_closed.Transformation();
  double lean = 0, most = 0;
  for (int axis = 1; axis <= 3; ++axis) {
    const double x = motion.Value(1, axis), z = motion.Value(3, axis);
    if (std::abs(x) > most) {
      most = std::abs(x);
      lean = std::remainder(std::atan2(z, x), kHalfTurn);
    }
  }
  return std::abs(lean) < kUpright ? lean : 0;
}

/// What holds it in its place or is put into it there.
std::string looseWith(const Model& model, const std::vector<int>& together) {
  std::vector<std::pair<std::string, int>> counts;
  for (const Fastening& one : model.fastenings) {
    const auto isOne = [&](int i) {
      return std::find(together.begin(), together.end(), i) != together.end();
    };
    if (!isOne(one.under_head) && !isOne(one.holds_in)) {
      continue;
    }
    for (const int i : {one.screw, one.washer, one.nut}) {
      if (i < 0) {
        continue;
      }
      const std::string& mark = model.parts[model.instances[i].part].mark;
      const auto found = std::find_if(counts.begin(), counts.end(),
                                      [&](const auto& known) { return known.first == mark; });
      if (found == counts.end()) {
        counts.emplace_back(mark, 1);
      } else {
        ++found->second;
      }
    }
  }
  std::string words;
  for (const auto& [mark, count] : counts) {
    words += (words.empty() ? "" : " ") + std::to_string(count) + " " + mark;
  }
  return words;
}

bool isWorthLifting(const Model& model, const std::vector<int>& together) {
  double mass = 0;
  for (const int i : together) {
    mass += model.parts[model.instances[i].part].massKg();
  }
  return mass >= kWorthLifting_kg;
}

/// Assemblies of the same parts are one row.
std::vector<PackingRow> fixedRows(const Model& model) {
  std::map<std::vector<int>, std::size_t> row_of;
  std::vector<PackingRow> rows;
  for (const std::vector<int>& together : weldedInShop(model)) {
    // What carries a guide is told however light, for it comes with its anchors.
    const bool is_guide = std::any_of(together.begin(), together.end(), [&](int i) {
      return model.parts[model.instances[i].part].kind == PartKind::kGuideArm;
    });
    if (!is_guide && !isWorthLifting(model, together)) {
      continue;
    }
    std::vector<int> parts;
    for (const int i : together) {
      parts.push_back(model.instances[i].part);
    }
    const auto [known, is_new] = row_of.try_emplace(parts, rows.size());
    if (!is_new) {
      PackingRow& alike = rows[known->second];
      ++alike.pieces;
      alike.instances.insert(alike.instances.end(), together.begin(), together.end());
      continue;
    }
    Load load(leanOf(model, together.front()));
    for (const int i : together) {
      load.add(model, model.instances[i]);
    }
    PackingRow row = load.row();
    row.what = model.parts[parts.front()].name;
    row.loose = looseWith(model, together);
    row.instances = together;
    std::vector<std::string> marks;
    for (const int part : parts) {
      const std::string& mark = model.parts[part].mark;
      if (std::find(marks.begin(), marks.end(), mark) == marks.end()) {
        marks.push_back(mark);
        row.marks += (row.marks.empty() ? "" : " ") + mark;
      }
    }
    rows.push_back(std::move(row));
  }
  return rows;
}

bool isMade(const Part& part) {
  return part.supply == Supply::kCutTube || part.supply == Supply::kCutBar ||
         part.supply == Supply::kCutPlate;
}

}  // namespace

std::vector<PackingRow> packingRows(const Model& model, const std::vector<bool>& comes_later) {
  std::map<int, Load> panels;
  std::map<int, std::vector<int>> instances;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    if (isOnPanel(model, i, comes_later)) {
      panels[model.instances[i].panel].add(model, model.instances[i]);
      instances[model.instances[i].panel].push_back(i);
    }
  }
  std::vector<PackingRow> rows;
  for (const auto& [panel, load] : panels) {
    if (const std::vector<double> joints = siteJoints_mm(model, panel); !joints.empty()) {
      const std::vector<PackingRow> parted = partedRows(model, panel, joints, comes_later);
      rows.insert(rows.end(), parted.begin(), parted.end());
      continue;
    }
    rows.push_back(load.row());
    rows.back().what = "panel " + std::to_string(panel);
    rows.back().panel = panel;
    rows.back().instances = instances[panel];
  }
  const std::vector<PackingRow> fixed = fixedRows(model);
  rows.insert(rows.end(), fixed.begin(), fixed.end());
  return rows;
}

bool travelsWithPanel(const Model& model, const Instance& instance) {
  const PartKind kind = model.parts[instance.part].kind;
  return instance.panel > 0 && instance.body == instance.panel && kind != PartKind::kRope &&
         kind != PartKind::kTerminal && kind != PartKind::kTerminalNut;
}

std::vector<std::vector<int>> weldedInShop(const Model& model) {
  std::vector<int> head(model.instances.size());
  std::iota(head.begin(), head.end(), 0);
  const auto headOf = [&](int i) {
    while (head[i] != i) {
      i = head[i] = head[head[i]];
    }
    return i;
  };
  const auto isInShop = [&](int i) {
    return model.instances[i].panel == 0 && isMade(model.parts[model.instances[i].part]);
  };
  for (const Contact& contact : model.contacts) {
    if (contact.kind == ContactKind::kWelded && isInShop(contact.a) && isInShop(contact.b) &&
        !contact.is_on_site) {
      head[headOf(contact.a)] = headOf(contact.b);
    }
  }
  std::map<int, std::vector<int>> by_head;
  for (int i = 0; i < static_cast<int>(head.size()); ++i) {
    if (isInShop(i)) {
      by_head[headOf(i)].push_back(i);
    }
  }
  std::vector<std::vector<int>> all;
  for (auto& [at, together] : by_head) {
    std::stable_sort(together.begin(), together.end(), [&](int a, int b) {
      return model.parts[model.instances[a].part].massKg() >
             model.parts[model.instances[b].part].massKg();
    });
    all.push_back(std::move(together));
  }
  std::stable_sort(all.begin(), all.end(), [&](const auto& a, const auto& b) {
    return model.instances[a.front()].part < model.instances[b.front()].part;
  });
  return all;
}

}  // namespace leafstack
