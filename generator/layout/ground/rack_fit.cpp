#include "generator/layout/ground/rack_fit.h"

#include <algorithm>
#include <cmath>

#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/ground.h"

namespace leafstack {

double highestRackMm(const GateSpec& spec) {
  const HollowSection& rail = spec.gate.bottom_rail;
  const RackHardware& rack = spec.hardware.rack;
  if (rack.fixing == RackFixing::kFoot) {
    return holeZone(rail).high_mm - rack.height_mm - (rack.foot_up_mm + rack.slot_height_mm) / 2;
  }
  return rail.height_mm - 2 * rail.wall_mm - rack.standoff_mm;
}

double lowestRackMm(const GateSpec& spec) {
  const RackHardware& rack = spec.hardware.rack;
  const double low = holeZone(spec.gate.bottom_rail).low_mm;
  if (rack.fixing == RackFixing::kFoot) {
    return low - rack.height_mm - (rack.foot_up_mm - rack.slot_height_mm) / 2;
  }
  return low + (rack.standoff_mm - rack.height_mm) / 2;
}

double pinionRoomMm(const GateSpec& spec, const Layout& layout) {
  if (layout.panel_count < 2) {
    return 0;
  }
  const Terminal terminal = terminalOf(spec);
  const double half_depth = spec.gate.bottom_rail.depth_mm / 2;
  const double strand = pulleyPitchMm(spec) / 2 - half_depth;
  const double clear = std::max(hardware::kHardwareClearanceMm, spec.checks.hardware_clearance_mm);
  double reach = cradleOf(spec).cover_outer_mm - half_depth;
  const double tip = pinionPitchRadiusMm(spec.hardware) + spec.hardware.rack.module_mm;
  const double beside = std::abs(layout.ground_bracket_mm - layout.pinion_mm) - tip - clear;
  const auto include = [&](double along, double across) {
    reach = beside < along ? std::max(reach, across) : reach;
  };
  // Both ropes end there, from either side.
  include(terminal.half_bracket_mm, 2 * strand - spec.hardware.bracket.face_gap_mm);
  include(terminal.nearMm(), strand + terminal.nearRadiusMm());
  include(terminal.tailMm(), strand + terminal.tailRadiusMm());
  return reach + clear;
}

double driveOutMm(const GateSpec& spec, const Layout& layout) {
  if (spec.hardware.rack.fixing == RackFixing::kFoot) {
    return 0;  // its feet are as deep as they are
  }
  return std::max(0.0, pinionRoomMm(spec, layout) - spec.hardware.motor.pinion_offset_mm);
}

double motorWedgeMm(const GateSpec& spec, const Layout& layout) {
  const double slope = std::abs(layout.ground.lineOf(kRearStrip).slope(layout.pinion_mm));
  return slope > 0 ? slope * spec.drive.motor.length_mm / 2 + hardware::kThinnestWedgeMm : 0;
}

double motorBandMm(const GateSpec& spec) {
  const bool is_level = spec.site.grade == 0 && spec.site.track_survey_mm.empty();
  return is_level ? spec.hardware.motor.adjust_mm : 0;
}

double footingDropMm(const GateSpec& spec, const Layout& layout) {
  if (spec.drive.footing_drop_mm) {
    return *spec.drive.footing_drop_mm;
  }
  const HardwareSpec& shelf = spec.hardware;
  const double cosine = alongCosine(spec.site);
  // From panel 1's track to the motor's middle the ground may rise across.
  const double across = layout.stack.frame_depth_mm / 2 + layout.stack.drive_out_mm +
                        shelf.motor.offset_mm + shelf.motor.depth_mm / 2;
  const double rise = layout.ground.cross_grade * across * cosine;
  const double lowest = bareRackUpMm(shelf) + rise + motorWedgeMm(spec, layout) - motorBandMm(spec);
  return std::max(0.0, std::ceil((lowest - highestRackMm(spec)) / cosine));
}

}  // namespace leafstack
