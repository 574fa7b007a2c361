#include "generator/loads/checks/structure_checks.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <tuple>

#include "generator/layout/figures/keepers.h"
#include "generator/layout/figures/sections.h"
#include "generator/loads/frame/frame_metal.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

/// Half of the zone that a weld softens, from its middle (EN 1999-1-1, MIG up to 6 mm thick).
constexpr double kWeldZoneMm = 20;

/// What a tube bears.
struct Strength {
  double area_mm2 = 0, across_mm3 = 0, upright_mm3 = 0;
  double twist_mm3 = 0;  ///< twisting moment over the shear stress it makes, Bredt
  double sides_left = 1, flanges_left = 1;  ///< of what carries shear
  double shear_y_mm2 = 0, shear_z_mm2 = 0;
  double yield_N_mm2 = 0, welded_yield_N_mm2 = 0;
};

Strength strengthOf(const Model& model, const Instance& instance) {
  const Part& part = model.parts[instance.part];
  const HollowSection& tube = part.tube.value();
  const SectionProperties across = bendingAcross(tube);
  const MaterialClass metal = materialClass(part.material);
  Strength out;
  out.area_mm2 = across.area_mm2;
  out.across_mm3 = across.modulus_mm3;
  out.upright_mm3 = bendingUpright(tube).modulus_mm3;
  out.twist_mm3 = 2 * across.cell_mm2 * tube.wall_mm;
  out.shear_y_mm2 = 2 * tube.wall_mm * (tube.depth_mm - tube.wall_mm);
  out.shear_z_mm2 = 2 * tube.wall_mm * (tube.height_mm - tube.wall_mm);
  const double yield = instance.panel > 0 ? frameYield_N_mm2(model.spec) : metal.yield_N_mm2;
  out.yield_N_mm2 = yield / metal.partial_factor;
  out.welded_yield_N_mm2 = out.yield_N_mm2 * metal.welded_yield_N_mm2 / metal.yield_N_mm2;
  return out;
}

StructureMember judged(const Strength& strength, const frame::Inner& inner, bool at_weld) {
  StructureMember out;
  out.pull_N = inner.pull_N;
  out.twist_Nmm = inner.twist_Nmm;
  out.across_Nmm = inner.about_z_Nmm;
  out.upright_Nmm = inner.about_y_Nmm;
  out.shear_N = std::max(std::abs(inner.shear_y_N), std::abs(inner.shear_z_N));
  out.normal_N_mm2 = std::abs(inner.pull_N) / strength.area_mm2 +
                     std::abs(inner.about_z_Nmm) / strength.across_mm3 +
                     std::abs(inner.about_y_Nmm) / strength.upright_mm3;
  const double twist = std::abs(inner.twist_Nmm) / strength.twist_mm3;
  out.shear_N_mm2 =
      std::max((twist + std::abs(inner.shear_y_N) / strength.shear_y_mm2) / strength.flanges_left,
               (twist + std::abs(inner.shear_z_N) / strength.shear_z_mm2) / strength.sides_left);
  out.area_mm2 = strength.area_mm2;
  out.across_mm3 = strength.across_mm3;
  out.upright_mm3 = strength.upright_mm3;
  out.stress_N_mm2 = std::hypot(out.normal_N_mm2, std::sqrt(3.0) * out.shear_N_mm2);
  out.yield_N_mm2 = at_weld ? strength.welded_yield_N_mm2 : strength.yield_N_mm2;
  out.use = out.stress_N_mm2 / out.yield_N_mm2;
  return out;
}

StructureMember& entryFor(StructureReport& report, int panel, const std::string& name) {
  for (StructureMember& member : report.members) {
    if (member.panel == panel && member.name == name) {
      return member;
    }
  }
  report.members.emplace_back();
  report.members.back().panel = panel;
  report.members.back().name = name;
  return report.members.back();
}

/// "leading stile": which of a panel's two stiles; uprights between them are alike, and no stiles.
std::string nameOf(const Model& model, const Instance& instance) {
  const Part& part = model.parts[instance.part];
  if (part.kind != PartKind::kStile) {
    return part.name;
  }
  const PanelLayout& panel = model.layout.panel(instance.panel);
  const double x = model.opening_sign * (instance.bounds.low[0] + instance.bounds.high[0]) / 2;
  const double wide = instance.bounds.high[0] - instance.bounds.low[0];
  const double along = x - panel.leading_closed_mm;
  return along < wide                           ? "leading stile"
         : along > panel.frame_length_mm - wide ? "trailing stile"
                                                : "intermediate upright";
}

}  // namespace

double plasticMoment_Nmm(double width_mm, double thickness_mm, std::string_view material) {
  const MaterialClass metal = materialClass(material);
  return width_mm * thickness_mm * thickness_mm / 4 * metal.welded_yield_N_mm2 /
         metal.partial_factor;
}

StructureMember atWeld(const Model& model, int instance, const frame::Inner& inner) {
  return judged(strengthOf(model, model.instances[instance]), inner, true);
}

double StructureReport::mostUse() const {
  double most = 0;
  for (const StructureMember& member : members) {
    most = std::max(most, member.use);
  }
  for (const StructurePlate& plate : plates) {
    most = std::max(most, plate.use);
  }
  for (const StructureWeld& weld : welds) {
    most = std::max(most, weld.use);
  }
  for (const StructureAxle& axle : axles) {
    most = std::max(most, axle.use);
  }
  for (const StructureDetail& detail : details) {
    most = std::max(most, detail.use);
  }
  for (const StructurePost& post : posts) {
    most = std::max({most, post.use, post.plate_use.value_or(0)});
    if (post.anchors) {
      most =
          std::max({most, post.anchors->pull_use.value_or(0), post.anchors->cone_use.value_or(0)});
    }
    if (post.block) {
      most = std::max({most, post.block->use, post.block->soil_use.value_or(0)});
    }
  }
  return most;
}

namespace {

/// Judges one instance's members one after the other, in one case.
class MemberChecks {
 public:
  MemberChecks(const Model& model, const frame::GateFrame& gate, const frame::Response& response,
               const std::string& case_name, StructureReport& report)
      : model_(model), gate_(gate), response_(response), case_(case_name), report_(report) {}

  void begin(int index) {
    instance_ = &model_.instances[index];
    done_mm_ = 0;
    strength_ = strengthOf(model_, *instance_);
    name_ = nameOf(model_, *instance_);
  }

  /// The next member of the instance; `places` of its part are judged where they lie on it.
  void add(int member, const std::vector<WeakPlace>* places) {
    const double length = frame::lengthMm(gate_.frame, gate_.frame.members[member]);
    for (const double share : {0.0, 0.5, 1.0}) {
      keep(name_, judgedAt(member, share, length, strength_), "", done_mm_ + share * length);
    }
    for (const WeakPlace& place : places == nullptr ? std::vector<WeakPlace>{} : *places) {
      const double share = (place.at_mm - done_mm_) / length;
      if (share < 0 || share > 1) {
        continue;
      }
      Strength left = strength_;
      left.area_mm2 = place.net.area_mm2;
      left.across_mm3 = place.net.across_mm3;
      left.upright_mm3 = place.net.upright_mm3;
      left.sides_left = place.net.sides_left;
      left.flanges_left = place.net.flanges_left;
      keep(name_ + " at its holes", judgedAt(member, share, length, left), place.taken_off,
           place.at_mm);
    }
    done_mm_ += length;
  }

 private:
  StructureMember judgedAt(int member, double share, double length,
                           const Strength& strength) const {
    const bool at_weld = std::min(share, 1 - share) * length < kWeldZoneMm;
    return judged(strength, response_.inside(gate_.frame, member, share), at_weld);
  }

  void keep(const std::string& name, StructureMember found, const std::string& taken_off,
            double at_mm) {
    StructureMember& entry = entryFor(report_, instance_->panel, name);
    if (found.use > entry.use) {
      const Part& part = model_.parts[instance_->part];
      found.panel = entry.panel;
      found.name = entry.name;
      found.deflection_mm = entry.deflection_mm;
      found.mark = part.mark;
      found.section = part.section;
      found.case_name = case_;
      found.at_mm = at_mm;
      found.taken_off = taken_off;
      entry = std::move(found);
    }
  }

  const Model& model_;
  const frame::GateFrame& gate_;
  const frame::Response& response_;
  const std::string& case_;
  StructureReport& report_;
  const Instance* instance_ = nullptr;
  double done_mm_ = 0;
  Strength strength_;
  std::string name_;
};

}  // namespace

void addMembers(const Model& model, const frame::GateFrame& gate, const frame::Response& response,
                const std::string& case_name, StructureReport& report, const WeakPlaces& weak) {
  MemberChecks checks(model, gate, response, case_name, report);
  int last = -1;
  const std::vector<WeakPlace>* places = nullptr;
  for (std::size_t i = 0; i < gate.instances.size(); ++i) {
    const int index = gate.instances[i];
    if (index < 0) {
      continue;
    }
    if (index != last) {
      last = index;
      checks.begin(index);
      const auto found = weak.find(model.instances[index].part);
      places = found == weak.end() ? nullptr : &found->second;
    }
    checks.add(static_cast<int>(i), places);
  }
}

void addDeflections(const Model& model, const frame::GateFrame& gate,
                    const frame::Response& response, DeflectedShape shape,
                    StructureReport& report) {
  for (const std::vector<int>& nodes : gate.panel_nodes) {
    for (int node : nodes) {
      shape.most_mm = std::max(shape.most_mm, std::abs(response.moved[node][frame::kAcross]));
    }
  }
  for (std::size_t i = 0; i < gate.instances.size(); ++i) {
    if (gate.instances[i] < 0) {
      continue;
    }
    const Instance& instance = model.instances[gate.instances[i]];
    const frame::Member& member = gate.frame.members[i];
    const frame::Six &a = response.moved[member.a], &b = response.moved[member.b];
    StructureMember& entry = entryFor(report, instance.panel, nameOf(model, instance));
    entry.deflection_mm =
        std::max({entry.deflection_mm, std::abs(a[frame::kAcross]), std::abs(b[frame::kAcross])});
    const Vec3 from = gate.frame.nodes[member.a].at, to = gate.frame.nodes[member.b].at;
    const PartKind kind = model.parts[instance.part].kind;
    const bool is_infill = kind == PartKind::kPicket || kind == PartKind::kSlat;
    shape.lines.push_back({instance.panel, is_infill, from, to, plus(from, {a[0], a[1], a[2]}),
                           plus(to, {b[0], b[1], b[2]})});
  }
  if (shape.most_mm > report.deflection_mm || report.deflected.empty()) {
    report.deflection_mm = shape.most_mm;
    report.deflection_case = shape.case_name;
  }
  const auto same =
      std::find_if(report.deflected.begin(), report.deflected.end(),
                   [&](const DeflectedShape& one) { return one.state == shape.state; });
  if (same == report.deflected.end()) {
    report.deflected.push_back(std::move(shape));
  } else if (shape.most_mm > same->most_mm) {
    *same = std::move(shape);
  }
}

double keeperUse(const GateSpec& spec, double lateral_N) {
  const KeeperHardware& shelf = spec.hardware.keeper;
  return spec.checks.wind_factor * std::abs(lateral_N) * keeperLeverMm(spec) /
         plasticMoment_Nmm(shelf.length_mm, shelf.plate_mm, frameMaterialName(spec));
}

CaseReactions reactionsOf(const Model& model, const frame::GateFrame& gate,
                          const frame::Response& response, const std::vector<double>& receivers,
                          const std::string& case_name, double groove_limit) {
  CaseReactions out{case_name, {}};
  for (const frame::WheelPlace& place : gate.wheels) {
    const std::string name =
        "panel " + std::to_string(place.panel) + "'s " + (place.leading ? "leading" : "trailing");
    const double across = response.held[place.node][1], up = response.held[place.node][2];
    const bool in_groove = std::abs(across) <= groove_limit * up;
    out.at.push_back({name + " wheel", {0, in_groove ? across : 0, up}, {}});
    out.at.push_back({name + " track keeper", {0, in_groove ? 0 : across, 0}, {}});
  }
  for (const frame::BlockPlace& place : gate.blocks) {
    out.at.push_back({"panel " + std::to_string(place.panel) + "'s guide block",
                      {0, response.inside(gate.frame, place.link, 0).pull_N, 0},
                      {}});
  }
  for (std::size_t i = 0; i < receivers.size(); ++i) {
    out.at.push_back({gate.receivers[i].name, {0, receivers[i], 0}, {}});
  }
  for (const frame::FootPlace& foot : gate.feet) {
    const Part& part = model.parts[model.instances[foot.instance].part];
    const frame::Six& held = response.held[foot.node];
    out.at.push_back({part.name + " " + part.mark,
                      {held[0], held[1], held[2]},
                      {held[3] / kNmmPerNm, held[4] / kNmmPerNm, held[5] / kNmmPerNm}});
  }
  return out;
}

void sortMembers(StructureReport& report) {
  const auto rank = [](const StructureMember& member) {
    return std::tuple(member.panel == 0, member.panel);
  };
  std::stable_sort(report.members.begin(), report.members.end(),
                   [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
}

std::vector<double> solvedDense(std::vector<std::vector<double>> rows, std::vector<double> right) {
  const int size = static_cast<int>(right.size());
  Eigen::MatrixXd matrix(size, size);
  Eigen::VectorXd known(size);
  for (int row = 0; row < size; ++row) {
    known[row] = right[row];
    for (int column = 0; column < size; ++column) {
      matrix(row, column) = rows[row][column];
    }
  }
  const Eigen::VectorXd found = matrix.fullPivLu().solve(known);
  return {found.begin(), found.end()};
}

}  // namespace leafstack
