#include "generator/loads/structure_checks.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <tuple>

#include "generator/layout/figures/keepers.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/ground/latch.h"
#include "generator/loads/loads_parts.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

/// Half of the zone that a weld softens, from its middle (EN 1999-1-1, MIG up to 6 mm thick).
constexpr double kWeldZoneMm = 20;

/// What a tube bears.
struct Strength {
  double area_mm2 = 0, across_mm3 = 0, upright_mm3 = 0;
  double twist_mm3 = 0;  ///< twisting moment over the shear stress it makes, Bredt
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
  out.shear_N_mm2 = std::abs(inner.twist_Nmm) / strength.twist_mm3 +
                    std::max(std::abs(inner.shear_y_N) / strength.shear_y_mm2,
                             std::abs(inner.shear_z_N) / strength.shear_z_mm2);
  out.stress_N_mm2 = std::hypot(out.normal_N_mm2, std::sqrt(3.0) * out.shear_N_mm2);
  out.yield_N_mm2 = at_weld ? strength.welded_yield_N_mm2 : strength.yield_N_mm2;
  out.use = out.stress_N_mm2 / out.yield_N_mm2;
  return out;
}

double plasticMoment_Nmm(double width_mm, double thickness_mm) {
  const MaterialClass steel = materialClass("steel");
  return width_mm * thickness_mm * thickness_mm / 4 * steel.yield_N_mm2 / steel.partial_factor;
}

/// A post's base plate with two rows of two anchors across the track.
struct PlateAnchors {
  double rows_apart_mm = 0;
  double lever_mm = 0;  ///< from the post's face to an anchor
  double width_mm = 0;  ///< of the plate that one row bends
};

std::optional<PlateAnchors> anchorsOf(const Model& model, PartKind kind) {
  const PostHardware& shelf = model.spec.hardware.post;
  if (kind == PartKind::kGuidePost) {
    const double side = model.spec.guides.post_mm, edge = shelf.plate_hole_mm;
    return PlateAnchors{side + shelf.plate_front_mm + shelf.plate_back_mm - 2 * edge,
                        std::max(shelf.plate_front_mm, shelf.plate_back_mm) - edge,
                        side + 2 * shelf.plate_side_mm};
  }
  if (kind == PartKind::kCatchPost) {
    // Its anchors stand beside the post along the track.
    const LatchLayout latch = latchOf(model.spec, model.layout);
    const StopHardware& stop = model.spec.hardware.stop;
    const double depth = latch.plate_rear_y_mm - latch.plate_front_y_mm;
    return PlateAnchors{depth - 2 * stop.catch_hole_mm, stop.catch_foot_mm / 2, depth};
  }
  return std::nullopt;
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

/// "leading stile": which of a panel's two stiles.
std::string nameOf(const Model& model, const Instance& instance) {
  const Part& part = model.parts[instance.part];
  if (part.kind != PartKind::kStile) {
    return part.name;
  }
  const PanelLayout& panel = model.layout.panel(instance.panel);
  const double x = model.opening_sign * (instance.bounds.low[0] + instance.bounds.high[0]) / 2;
  const bool leads = x < panel.leading_closed_mm + panel.frame_length_mm / 2;
  return leads ? "leading stile" : "trailing stile";
}

}  // namespace

double StructureReport::mostUse() const {
  double most = 0;
  for (const StructureMember& member : members) {
    most = std::max(most, member.use);
  }
  for (const StructurePost& post : posts) {
    most = std::max({most, post.use, post.plate_use.value_or(0)});
  }
  return most;
}

void addMembers(const Model& model, const frame::GateFrame& gate, const frame::Response& response,
                const std::string& case_name, StructureReport& report) {
  int last = -1;
  Strength strength;
  StructureMember* entry = nullptr;
  double done_mm = 0;
  for (std::size_t i = 0; i < gate.instances.size(); ++i) {
    const int index = gate.instances[i];
    if (index < 0) {
      continue;
    }
    const Instance& instance = model.instances[index];
    const frame::Member& member = gate.frame.members[i];
    if (index != last) {
      last = index;
      done_mm = 0;
      strength = strengthOf(model, instance);
      entry = &entryFor(report, instance.panel, nameOf(model, instance));
    }
    const double length = frame::lengthMm(gate.frame, member);
    for (double share : {0.0, 0.5, 1.0}) {
      const bool at_weld = std::min(share, 1 - share) * length < kWeldZoneMm;
      StructureMember found =
          judged(strength, response.inside(gate.frame, static_cast<int>(i), share), at_weld);
      if (found.use > entry->use) {
        found.panel = entry->panel;
        found.name = entry->name;
        found.deflection_mm = entry->deflection_mm;
        found.mark = model.parts[instance.part].mark;
        found.section = model.parts[instance.part].section;
        found.case_name = case_name;
        found.at_mm = done_mm + share * length;
        *entry = std::move(found);
      }
    }
    done_mm += length;
  }
}

void addPosts(const Model& model, const frame::GateFrame& gate, const frame::Response& response,
              const std::string& case_name, StructureReport& report) {
  for (const frame::FootPlace& foot : gate.feet) {
    const Part& part = model.parts[model.instances[foot.instance].part];
    const frame::Inner inner = response.inside(gate.frame, foot.member, 0);
    const StructureMember root =
        judged(strengthOf(model, model.instances[foot.instance]), inner, true);
    StructurePost post;
    post.mark = part.mark;
    post.name = part.name;
    post.case_name = case_name;
    post.moment_Nm = std::hypot(inner.about_y_Nmm, inner.about_z_Nmm) / kNmmPerNm;
    post.torque_Nm = std::abs(inner.twist_Nmm) / kNmmPerNm;
    post.use = root.use;
    if (const std::optional<PlateAnchors> anchors = anchorsOf(model, part.kind)) {
      const double row_N = post.moment_Nm * kNmmPerNm / anchors->rows_apart_mm;
      post.anchor_N = row_N / 2;
      post.plate_use = row_N * anchors->lever_mm /
                       plasticMoment_Nmm(anchors->width_mm, model.spec.hardware.post.plate_mm);
    }
    const auto same = std::find_if(report.posts.begin(), report.posts.end(),
                                   [&](const StructurePost& one) { return one.mark == post.mark; });
    if (same == report.posts.end()) {
      report.posts.push_back(post);
    } else if (std::max(post.use, post.plate_use.value_or(0)) >
               std::max(same->use, same->plate_use.value_or(0))) {
      *same = post;
    }
  }
}

void addDeflections(const Model& model, const frame::GateFrame& gate,
                    const frame::Response& response, const std::string& case_name,
                    StructureReport& report) {
  double most = 0;
  for (const std::vector<int>& nodes : gate.panel_nodes) {
    for (int node : nodes) {
      most = std::max(most, std::abs(response.moved[node][frame::kAcross]));
    }
  }
  const bool is_worst = most > report.deflection_mm;
  if (is_worst) {
    report.deflection_mm = most;
    report.deflection_case = case_name;
    report.deflected.clear();
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
    if (is_worst) {
      const Vec3 from = gate.frame.nodes[member.a].at, to = gate.frame.nodes[member.b].at;
      report.deflected.push_back(
          {instance.panel, from, to, plus(from, {a[0], a[1], a[2]}), plus(to, {b[0], b[1], b[2]})});
    }
  }
}

double keeperUse(const GateSpec& spec, double lateral_N) {
  const TrackKeepers keepers = trackKeepers(spec);
  const KeeperHardware& shelf = spec.hardware.keeper;
  // From the height at which the plates let go, the least that they bear on, up to the rail.
  const double lever = keepers.low_mm + keepers.height_mm - keepers.lets_go_mm;
  return spec.checks.wind_factor * std::abs(lateral_N) * lever /
         plasticMoment_Nmm(shelf.length_mm, shelf.plate_mm);
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
