// Wind on the closed gate: what stands in it, what guides and post carry by moments alone. What
// the frame does with it: structure.cpp.
//
// A panel stands on two wheels in line, so nothing but its own guide block, and the panel behind it
// with that, keeps it from falling over sideways: moments about its track give the reactions, panel
// by panel from the front, and the guide post carries them all. Nothing is taken to hold the front
// panel's top at the latch post, so these are bounds.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/loads/frame/gate_frame.h"
#include "generator/loads/loads_parts.h"
#include "generator/loads/wind/wind_pressure.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

void findPressure(const CheckSpec& checks, double height_mm, WindReport& wind) {
  if (checks.wind_Pa) {
    wind.velocity_pressure_Pa = *checks.wind_Pa;
    wind.basis = "as given";
  } else if (checks.wind_class) {
    wind.velocity_pressure_Pa = windClassPa(*checks.wind_class);
    wind.is_class = true;
    wind.basis = "class " + std::to_string(*checks.wind_class) + " of EN 12424";
  } else {
    wind.velocity_pressure_Pa = peakPressure_Pa(checks.wind_speed_m_s, checks.wind_terrain,
                                                checks.wind_years, height_mm / kMmPerM);
    wind.basis = checks.wind_terrain == WindTerrain::kGust
                     ? "a gust of " + shown(checks.wind_speed_m_s) + " m/s"
                     : "a basic speed of " + shown(checks.wind_speed_m_s) + " m/s, once in " +
                           shown(checks.wind_years) + " years, terrain and height by EN 1991-1-4";
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
  out.force_arm_mm =
      (panel.undersideZ(x) + panel.topZ(x)) / 2 - frame::trackZ(layout.hardware, panel, x);
  return out;
}

void findReactions(const Layout& layout, std::vector<WindPanel>& panels) {
  for (int number = layout.panel_count; number >= 1; --number) {
    WindPanel& panel = panels[number - 1];
    const GuideLayout& guide = layout.guides.at(number - 1);
    panel.guide_arm_mm =
        guide.z_mm - frame::trackZ(layout.hardware, layout.panel(number), guide.x_mm);
    if (number < layout.panel_count) {
      const GuideLayout& front = layout.guides.at(number);
      panel.front_guide_N = panels[number].guide_N;
      panel.front_arm_mm =
          front.z_mm - frame::trackZ(layout.hardware, layout.panel(number), front.x_mm);
    }
    panel.guide_N =
        (panel.force_N * panel.force_arm_mm + panel.front_guide_N * panel.front_arm_mm) /
        panel.guide_arm_mm;
    panel.wheels_N = panel.force_N + panel.front_guide_N - panel.guide_N;
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
}

}  // namespace

WindReport windReport(const Model& model) {
  WindReport wind;
  findPressure(model.spec.checks, model.spec.gate.height_mm, wind);
  for (const PanelLayout& panel : model.layout.panels) {
    wind.panels.push_back(exposed(model, panel, wind));
  }
  findReactions(model.layout, wind.panels);
  findPost(model, wind);
  return wind;
}

}  // namespace leafstack
