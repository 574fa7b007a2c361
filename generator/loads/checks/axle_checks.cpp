#include "generator/loads/checks/axle_checks.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/layout/figures/hardware.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {
namespace {

constexpr double kOnAxles = 1.35;  // weight: EN 1990, permanent actions

}  // namespace

StructureAxle axleOf(const GateSpec& spec, const StructureWheel& wheel) {
  const WheelHardware& shelf = spec.hardware.wheel;
  const bool on_plate = shelf.mount == WheelMount::kPlate;
  StructureAxle axle;
  axle.panel = wheel.panel;
  axle.leading = wheel.leading;
  axle.weight_N = kOnAxles * wheel.most_vertical_N;
  axle.side_N =
      spec.checks.wind_factor * std::min(wheel.most_lateral_N, wheel.limit * wheel.most_vertical_N);
  axle.wall_mm = on_plate ? shelf.cheek_mm : spec.gate.bottom_rail.wall_mm;
  axle.hub_mm = shelf.width_mm;
  axle.gap_mm =
      on_plate
          ? hardware::kWheelPocketGapMm
          : std::max(0.0, (spec.gate.bottom_rail.depth_mm - 2 * axle.wall_mm - shelf.width_mm) / 2);
  axle.diameter_mm = shelf.axle_mm;
  axle.yield_N_mm2 = materialClass("steel").yield_N_mm2;
  const double bending = axle.weight_N * (axle.hub_mm + 4 * axle.gap_mm + 2 * axle.wall_mm) / 8;
  axle.moment_Nmm = bending + axle.side_N * shelf.running_mm / 4;
  const double modulus = std::numbers::pi * std::pow(axle.diameter_mm, 3) / 32;
  axle.use = axle.moment_Nmm / (1.5 * modulus * axle.yield_N_mm2);
  return axle;
}

void addAxles(const GateSpec& spec, StructureReport& report) {
  for (const StructureWheel& wheel : report.wheels) {
    report.axles.push_back(axleOf(spec, wheel));
  }
}

}  // namespace leafstack
