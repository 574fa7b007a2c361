// Wind on the closed gate: what stands in it, what guides and post carry, what members bear.
//
// A panel stands on two wheels in line, so nothing but its own guide block, and the panel behind it
// with that, keeps it from falling over sideways: moments about its track give the reactions, panel
// by panel from the front, and the guide post carries them all. Nothing is taken to hold the front
// panel's top at the latch post.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/loads/loads_parts.h"
#include "generator/loads/wind/beams.h"
#include "generator/loads/wind/wind_pressure.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kMm2PerM2 = 1e6;

/// Height of the track's running line below a panel.
double trackZ(const HardwareSpec& shelf, const PanelLayout& panel, double x_mm) {
  return panel.undersideZ(x_mm) -
         (shelf.wheel.running_mm / 2 - shelf.wheel.axle_up_mm) / panel.cosine();
}

void findPressure(const CheckSpec& checks, double height_mm, WindReport& wind) {
  if (checks.wind_Pa) {
    wind.velocity_pressure_Pa = *checks.wind_Pa;
    wind.basis = "as given";
  } else if (checks.wind_class) {
    wind.velocity_pressure_Pa = windClassPa(*checks.wind_class);
    wind.is_class = true;
    wind.basis = "class " + std::to_string(*checks.wind_class) + " of EN 12424 (row V3)";
  } else {
    wind.velocity_pressure_Pa = peakPressure_Pa(checks.wind_speed_m_s, checks.wind_terrain,
                                                checks.wind_years, height_mm / kMmPerM);
    wind.basis = checks.wind_terrain == WindTerrain::kGust
                     ? "a gust of " + shown(checks.wind_speed_m_s) + " m/s (row V1)"
                     : "a basic speed of " + shown(checks.wind_speed_m_s) + " m/s, once in " +
                           shown(checks.wind_years) +
                           " years, terrain and height by EN 1991-1-4 (row V5)";
  }
}

/// What of a closed panel stands in the wind: all that no panel in front covers, in the opening.
WindPanel exposed(const Model& model, const PanelLayout& panel, const WindReport& wind) {
  const Layout& layout = model.layout;
  WindPanel out;
  out.number = panel.number;
  const bool is_front = panel.number == layout.panel_count;
  out.from_mm =
      is_front ? panel.leading_closed_mm : layout.panel(panel.number + 1).trailing_closed_mm;
  out.to_mm = panel.number == 1 ? layout.opening_mm : panel.trailing_closed_mm;
  out.area = frontArea(model, panel.number, out.from_mm, out.to_mm);
  const WindWall wall{layout.panels.back().leading_closed_mm, layout.opening_mm,
                      model.spec.gate.height_mm, model.spec.checks.wind_ends == WindEnds::kFree};
  out.zone_coefficient = wind.is_class ? 1 : meanZone(wall, out.from_mm, out.to_mm);
  const double solidity = out.area.solidity();
  out.coefficient =
      wind.is_class ? coveredShare(solidity) : coefficientAt(solidity, out.zone_coefficient);
  out.pressure_Pa = wind.velocity_pressure_Pa * out.coefficient;
  out.force_N = out.pressure_Pa * out.area.gross_mm2 / kMm2PerM2;
  const double x = (out.from_mm + out.to_mm) / 2;
  out.force_arm_mm = (panel.undersideZ(x) + panel.topZ(x)) / 2 - trackZ(layout.hardware, panel, x);
  return out;
}

void findReactions(const Layout& layout, std::vector<WindPanel>& panels) {
  for (int number = layout.panel_count; number >= 1; --number) {
    WindPanel& panel = panels[number - 1];
    const GuideLayout& guide = layout.guides.at(number - 1);
    panel.guide_arm_mm = guide.z_mm - trackZ(layout.hardware, layout.panel(number), guide.x_mm);
    if (number < layout.panel_count) {
      const GuideLayout& front = layout.guides.at(number);
      panel.front_guide_N = panels[number].guide_N;
      panel.front_arm_mm = front.z_mm - trackZ(layout.hardware, layout.panel(number), front.x_mm);
    }
    panel.guide_N =
        (panel.force_N * panel.force_arm_mm + panel.front_guide_N * panel.front_arm_mm) /
        panel.guide_arm_mm;
    panel.wheels_N = panel.force_N + panel.front_guide_N - panel.guide_N;
  }
}

struct Metal {
  double elastic = 0, shear = 0, yield = 0;
};

std::string times(double a, double b) {
  return shown(a) + " x " + shown(b);
}

/// A member with its section's figures; what it bears comes after.
WindMember memberOf(const char* name, const HollowSection& section, double yield_N_mm2) {
  const SectionProperties properties = bendingAcross(section);
  WindMember out;
  out.member = name;
  out.section = section.designation;
  out.modulus_mm3 = properties.modulus_mm3;
  out.second_moment_mm4 = properties.second_moment_mm4;
  out.yield_N_mm2 = yield_N_mm2;
  return out;
}

/// Stress of bending, with that of the twist (Bredt) where there is one.
void findUse(WindMember& member, const HollowSection& section, double wind_factor) {
  const double bending = member.moment_Nmm / member.modulus_mm3;
  const double twisting =
      member.torque_Nmm / (2 * bendingAcross(section).cell_mm2 * section.wall_mm);
  member.stress_N_mm2 = std::sqrt(bending * bending + 3 * twisting * twisting);
  member.use = wind_factor * member.stress_N_mm2 / member.yield_N_mm2;
}

/// One panel's members under its own pressure.
class PanelMembers {
 public:
  PanelMembers(const Model& model, const PanelMass& mass, WindPanel& wind)
      : spec_(model.spec), wind_(wind) {
    const PanelLayout& layout = model.layout.panel(wind.number);
    const MaterialClass material = materialClass(frameMaterialName(spec_));
    metal_ = {material.elastic_N_mm2, material.shear_N_mm2, frameYield_N_mm2(spec_)};
    length_mm_ = layout.frame_length_mm / layout.cosine();
    wheel_base_mm_ = (mass.wheels_x_mm.back() - mass.wheels_x_mm.front()) / layout.cosine();
    height_mm_ = wind.area.gross_mm2 / (wind.to_mm - wind.from_mm);
    line_load_N_mm_ = wind.pressure_Pa / kMm2PerM2 * height_mm_ / 2;
    wind.rail_load_N_mm = line_load_N_mm_;
    rail_centre_mm_ = spec_.hardware.wheel.running_mm / 2 - spec_.hardware.wheel.axle_up_mm +
                      spec_.gate.bottom_rail.height_mm / 2;
  }

  std::vector<WindMember> run() {
    const PanelSpec& gate = spec_.gate;
    const double half = line_load_N_mm_ * length_mm_ / 2;  // of the top rail, at either stile
    const double arm = height_mm_ - gate.bottom_rail.height_mm / 2 - gate.top_rail.height_mm / 2;
    const double front_arm = std::max(wind_.front_arm_mm - rail_centre_mm_, 0.0);
    const double guide_arm = wind_.guide_arm_mm - rail_centre_mm_;
    WindMember lead = stile("leading stile", half * arm + wind_.front_guide_N * front_arm, arm);
    lead.how = "w L / 2 x " + shown(arm, 0) + " + R' x " + shown(front_arm, 0) + " = " +
               times(half, arm) + " + " + times(wind_.front_guide_N, front_arm);
    // What the guide block holds, less what the top rail brings to this end.
    WindMember trail =
        stile("trailing stile", std::max(wind_.guide_N * guide_arm - half * arm, 0.0), arm);
    trail.how = "R x " + shown(guide_arm, 0) + " - w L / 2 x " + shown(arm, 0) + " = " +
                times(wind_.guide_N, guide_arm) + " - " + times(half, arm);
    const WindMember top = beam("top rail", gate.top_rail, length_mm_, 0);
    const WindMember bottom =
        beam("bottom rail", gate.bottom_rail, wheel_base_mm_, lead.moment_Nmm);
    const SectionProperties rail = bendingAcross(gate.bottom_rail);
    const double twist = lead.moment_Nmm * length_mm_ / (metal_.shear * rail.torsion_mm4);
    wind_.corner_by_twist_mm = twist * arm;
    wind_.corner_mm = lead.deflection_mm + wind_.corner_by_twist_mm;
    return {top, bottom, lead, trail};
  }

 private:
  Stiffness stiffnessOf(const WindMember& member) const {
    return {metal_.elastic, member.second_moment_mm4};
  }

  /// Evenly loaded between two supports, perhaps twisted as well.
  WindMember beam(const char* name, const HollowSection& section, double span_mm,
                  double torque_Nmm) const {
    WindMember out = memberOf(name, section, metal_.yield);
    out.panel = wind_.number;
    out.span_mm = span_mm;
    const BeamResult result = evenlyLoaded(line_load_N_mm_, span_mm, stiffnessOf(out));
    out.moment_Nmm = result.moment_Nmm;
    out.deflection_mm = result.deflection_mm;
    out.torque_Nmm = torque_Nmm;
    out.how = "w L^2 / 8 = " + shown(line_load_N_mm_, 3) + " x " + shown(span_mm, 0) + "^2 / 8";
    out.how_far = "5 w L^4 / (384 E I)";
    findUse(out, section, spec_.checks.wind_factor);
    return out;
  }

  WindMember stile(const char* name, double moment_Nmm, double arm_mm) const {
    WindMember out = memberOf(name, spec_.gate.stile, metal_.yield);
    out.panel = wind_.number;
    out.span_mm = arm_mm;
    out.moment_Nmm = moment_Nmm;
    out.deflection_mm = cantilever(moment_Nmm / arm_mm, arm_mm, stiffnessOf(out)).deflection_mm;
    out.how_far = "M L^2 / (3 E I)";
    findUse(out, spec_.gate.stile, spec_.checks.wind_factor);
    return out;
  }

  const GateSpec& spec_;
  WindPanel& wind_;
  Metal metal_;
  double length_mm_ = 0, height_mm_ = 0, line_load_N_mm_ = 0, wheel_base_mm_ = 0;
  double rail_centre_mm_ = 0;  ///< over the track
};

/// Keeps the worst of each kind of member.
void keepWorst(std::vector<WindMember>& kept, std::vector<WindMember> members) {
  for (WindMember& member : members) {
    const auto known = std::find_if(kept.begin(), kept.end(), [&](const WindMember& one) {
      return one.member == member.member;
    });
    if (known == kept.end()) {
      kept.push_back(std::move(member));
    } else if (member.use > known->use) {
      *known = std::move(member);
    }
  }
}

/// The instance of a kind that does not move, or null.
const Instance* fixedOf(const Model& model, PartKind kind) {
  for (const Instance& instance : model.instances) {
    if (instance.panel == 0 && model.parts[instance.part].kind == kind) {
      return &instance;
    }
  }
  return nullptr;
}

void findPost(const Model& model, WindReport& wind) {
  const GateSpec& spec = model.spec;
  const GuideLayout& guide = model.layout.guides.front();
  wind.guide_N = wind.panels.front().guide_N;
  const Instance* const post = fixedOf(model, PartKind::kGuidePost);
  if (spec.guides.mount == GuideMount::kOverhead || post == nullptr) {
    const double x = model.layout.opening_mm;
    wind.foot_moment_Nmm = wind.guide_N * (guide.z_mm - model.layout.ground.heightMm(x, 0));
    return;
  }
  const double arm = guide.z_mm - post->bounds.low[2];
  wind.foot_moment_Nmm = wind.guide_N * arm;
  wind.foot_torque_Nmm =
      wind.guide_N * std::abs(model.layout.guide_post_mm - model.layout.guide_mm);
  const std::optional<HollowSection>& section = model.parts[post->part].tube;
  if (!section) {
    return;
  }
  const MaterialClass steel = materialClass("steel");
  WindMember member = memberOf("guide post", *section, steel.yield_N_mm2);
  const BeamResult result =
      cantilever(wind.guide_N, arm, {steel.elastic_N_mm2, member.second_moment_mm4});
  member.span_mm = arm;
  member.moment_Nmm = result.moment_Nmm;
  member.torque_Nmm = wind.foot_torque_Nmm;
  member.deflection_mm = result.deflection_mm;
  member.how = "R1 x " + shown(arm, 0) + " = " + times(wind.guide_N, arm);
  member.how_far = "F L^3 / (3 E I)";
  findUse(member, *section, spec.checks.wind_factor);
  wind.members.push_back(member);
}

}  // namespace

std::string frameMaterialName(const GateSpec& spec) {
  return spec.gate.material == FrameMaterial::kSteel ? "steel" : "aluminium";
}

double frameYield_N_mm2(const GateSpec& spec) {
  return spec.gate.yield_N_mm2.value_or(materialClass(frameMaterialName(spec)).yield_N_mm2);
}

WindReport windReport(const Model& model) {
  WindReport wind;
  findPressure(model.spec.checks, model.spec.gate.height_mm, wind);
  for (const PanelLayout& panel : model.layout.panels) {
    wind.panels.push_back(exposed(model, panel, wind));
  }
  findReactions(model.layout, wind.panels);
  const std::vector<PanelMass> masses = panelMasses(model);
  for (WindPanel& panel : wind.panels) {
    keepWorst(wind.members, PanelMembers(model, masses[panel.number - 1], panel).run());
  }
  findPost(model, wind);
  return wind;
}

}  // namespace leafstack
