// What holds wheels' axles: the bottom rail's walls, or carriers bolted under it.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/loads/details/detail_parts.h"
#include "params/catalogue/catalogue.h"

namespace leafstack::detail_rows {
namespace {

constexpr const char* kCarrier = "carrier-overload";

struct Forces {
  const StructureWheel* wheel = nullptr;
  double down_N = 0, side_N = 0;
};

/// The hardest pressed of all, weight and side each the greatest: what a groove holds sideways
/// comes through the wheel, what it does not the keeper takes.
Forces worstOf(const GateSpec& spec, const StructureReport& report) {
  Forces out;
  for (const StructureWheel& wheel : report.wheels) {
    const double side = spec.checks.wind_factor *
                        std::min(wheel.most_lateral_N, wheel.limit * wheel.most_vertical_N);
    out.wheel = out.wheel == nullptr || side > out.side_N ? &wheel : out.wheel;
    out.side_N = std::max(out.side_N, side);
    out.down_N = std::max(out.down_N, kWeightFactor * wheel.most_vertical_N);
  }
  return out;
}

StructureDetail rowOf(const Forces& forces, const char* what, const char* where) {
  StructureDetail row;
  row.id = kCarrier;
  row.name =
      ofPanel(forces.wheel->panel,
              std::string(forces.wheel->leading ? "leading" : "trailing") + " wheel's " + what);
  row.case_name = "the greatest forces of any case";
  row.where = where;
  return row;
}

/// Bearing of the axle in a wall or cheek (EN 1993-1-8, Table 3.10): half of the weight, and what
/// the side force at the wheel's rim turns.
StructureDetail bearing(const GateSpec& spec, const Forces& forces, const char* what,
                        const char* where, const std::array<double, 3>& wall_apart_yield) {
  const auto [wall, apart, yield] = wall_apart_yield;
  const WheelHardware& shelf = spec.hardware.wheel;
  StructureDetail row = rowOf(forces, what, where);
  row.unit = "N";
  row.acts = forces.down_N / 2 + forces.side_N * shelf.running_mm / 2 / apart;
  row.bears = 1.5 * wall * shelf.axle_mm * yield;
  row.formula = "(V / 2 + H r / B) / (1.5 t d f_y), V " + newtons(forces.down_N) + ", H " +
                newtons(forces.side_N) + ", r " + shown(shelf.running_mm / 2) + ", B " +
                shown(apart, 1) + ", t " + shown(wall) + ", d " + shown(shelf.axle_mm) +
                " mm, f_y " + shown(yield, 0);
  row.source = "EN 1993-1-8, Table 3.10";
  row.remedy = "A thicker wall or axle would do.";
  return row;
}

void addCarrier(const Model& model, const Forces& forces, const Part& rail,
                StructureReport& report) {
  const GateSpec& spec = model.spec;
  const WheelHardware& shelf = spec.hardware.wheel;
  const MaterialClass steel = materialClass("steel");
  const double yield = steel.yield_N_mm2;
  addRow(report,
         bearing(spec, forces, "carrier, its axle's holes", "/hardware/wheel/cheek_mm",
                 {shelf.cheek_mm, 2 * cheekHalfWidthMm(spec.hardware) - shelf.cheek_mm, yield}));

  const double high = plateUndersideMm(spec.hardware) - shelf.axle_up_mm;
  const double root = 2 * cheekHighHalfMm(spec.hardware);
  StructureDetail cheek =
      rowOf(forces, "carrier, a cheek at its plate", "/hardware/wheel/cheek_mm");
  cheek.acts = forces.side_N * high;
  cheek.bears = stripMoment_Nmm(root, shelf.cheek_mm, yield);
  cheek.formula = "H h / (b t^2 / 4 f_y), one cheek taking all, H " + newtons(forces.side_N) +
                  ", h " + shown(high, 1) + ", b " + shown(root, 1) + ", t " +
                  shown(shelf.cheek_mm) + " mm";
  cheek.source = "plastic strip";
  cheek.remedy = "Thicker cheeks would do.";
  addRow(report, std::move(cheek));

  // About the plate's far edge: two bolts pull, the weight presses.
  const double lever = shelf.running_mm / 2 - shelf.axle_up_mm;
  const double apart = (shelf.plate_width_mm + shelf.bolt_gauge_mm) / 2;
  const double pull = forces.side_N * lever / (2 * apart);
  const double thread = shelf.plate_bolt_mm;
  const double wall = rail.tube ? rail.tube->wall_mm : 0;
  double hold = wall;
  for (const Fastening& one : model.fastenings) {
    const Part& under = model.parts[model.instances[one.under_head].part];
    hold = under.kind == PartKind::kWheelCarrier
               ? std::min(one.hold_mm, hardware::kThreadWalls * wall)
               : hold;
  }
  struct Way {
    const char* what;
    double bears;
    const char* where;
    const char* source;
  };
  const Way ways[] = {
      {"carrier, its bolts", screwPull_N(thread, false), "/hardware/wheel/plate_bolt_mm",
       "EN 1993-1-8, Table 3.4, class 8.8"},
      {"carrier, its bolts' threads", threadPull_N(thread, hold, rail.material),
       "/gate/bottom_rail", "half of the thread's cylinder sheared, from memory"},
      {"carrier, the rail's wall about its bolts", wallPull_N(wall, yieldOf(spec, rail)),
       "/gate/bottom_rail", "yield lines, a fan of 4 pi m"}};
  for (const Way& way : ways) {
    StructureDetail row = rowOf(forces, way.what, way.where);
    row.unit = "N";
    row.acts = pull;
    row.bears = way.bears;
    row.formula = "H h / (2 (w + g) / 2), the weight left out, H " + newtons(forces.side_N) +
                  ", h " + shown(lever, 1) + ", w " + shown(shelf.plate_width_mm) + ", g " +
                  shown(shelf.bolt_gauge_mm) + " mm, M" + shown(thread);
    row.source = way.source;
    row.remedy = "Bolts further apart, or a thicker wall, would do.";
    addRow(report, std::move(row));
  }
  const double out = std::max(0.0, shelf.bolt_pitch_mm / 2 - cheekHighHalfMm(spec.hardware));
  StructureDetail plate = rowOf(forces, "carrier, its plate", "/hardware/wheel/plate_mm");
  plate.acts = pull * out;
  plate.bears = stripMoment_Nmm(shelf.plate_width_mm / 2, shelf.plate_mm, yield);
  plate.formula = "T e / (w / 2 t^2 / 4 f_y), T " + newtons(pull) + ", e " + shown(out, 1) +
                  ", w " + shown(shelf.plate_width_mm) + ", t " + shown(shelf.plate_mm) + " mm";
  plate.source = "plastic strip";
  plate.remedy = "A thicker plate would do.";
  addRow(report, std::move(plate));
}

}  // namespace

void addWheelDetails(const Model& model, StructureReport& report) {
  const Forces forces = worstOf(model.spec, report);
  if (forces.wheel == nullptr) {
    return;
  }
  const std::vector<int> rails = instancesOf(model, PartKind::kBottomRail, forces.wheel->panel);
  if (rails.empty()) {
    return;
  }
  const Part& rail = model.parts[model.instances[rails.front()].part];
  if (isOnPlate(model.spec.hardware)) {
    addCarrier(model, forces, rail, report);
    return;
  }
  const HollowSection& tube = model.spec.gate.bottom_rail;
  addRow(report, bearing(model.spec, forces, "axle in the bottom rail's walls", "/gate/bottom_rail",
                         {tube.wall_mm, tube.depth_mm - tube.wall_mm, yieldOf(model.spec, rail)}));
}

}  // namespace leafstack::detail_rows
