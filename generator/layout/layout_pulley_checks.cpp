// Why pulleys could not be put into a gate's rails, or taken out of them.
#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/layout_parts.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kCoverInRailMm = 4;    // of a pulley's cover, for its weld
constexpr double kThinnestCheekMm = 2;  // as in the table
constexpr double kBesideFlangeMm = 1;   // what passes a cradle's flange; the clash check asks more

/// Every pulley slot must lie in the flat of the rail's side walls.
void checkSlots(const GateSpec& spec, const Layout& layout, std::vector<LayoutProblem>& problems) {
  const HollowSection& rail = spec.gate.bottom_rail;
  const Flat zone = ropeZone(spec);
  for (double up : layout.heights.rope_heights_mm) {
    if (up < zone.low_mm - kLengthEqualMm || up > zone.high_mm + kLengthEqualMm) {
      problems.push_back(
          {"/ropes/heights_mm",
           "ropes " + shown(up) + " mm up, " + shown(ropesApartMm(spec)) +
               " mm apart, would cut the slot of a pulley's cradle, " +
               shown(2 * cradleSlotHalfHeightMm(spec)) + " mm high, into a corner of " +
               rail.designation + ": " +
               (zone.low_mm <= zone.high_mm
                    ? shown(zone.low_mm) + " to " + shown(zone.high_mm) + " mm" +
                          (spec.ropes.heights_mm
                               ? ""
                               : ", with pulleys at most " +
                                     shown(zone.high_mm - ropesApartMm(spec) / 2) +
                                     " mm up (/hardware/pulley/low_up_mm, high_up_mm)")
                    : "a rail at least " + shown(rail.height_mm + zone.low_mm - zone.high_mm) +
                          " mm high")});
    }
  }
}

/// Room beside the rail for a pulley's cradle on its way out, the gate closed.
void checkPulleyRemoval(const GateSpec& spec, const Layout& layout,
                        std::vector<LayoutProblem>& problems) {
  const PulleyRemoval removal = spec.hardware.pulley.removal;
  if (layout.ropes.empty() || removal == PulleyRemoval::kFreeSide) {
    return;
  }
  const PulleyCradle cradle = cradleOf(spec);
  const double needed = cradle.roomBesideMm() + hw::kHardwareClearanceMm;
  const auto refuse = [&](double room, const std::string& what) {
    if (room < needed - kLengthEqualMm) {
      problems.push_back({"/hardware/pulley/removal",
                          "a pulley's cradle that comes out to the " +
                              std::string(removal == PulleyRemoval::kFront ? "front" : "rear") +
                              " needs " + shown(needed) + " mm beside the rail, where " + what +
                              " stands " + shown(room) + " mm from it: \"free-side\""});
    }
  };
  // Every leading pulley has a panel before it, a trailing one the panel behind; but behind panel 1
  // is the motor.
  if (removal == PulleyRemoval::kFront || layout.panel_count > 2) {
    refuse(layout.stack.gap_mm, "a panel");
  }
  if (removal == PulleyRemoval::kRear) {
    const double pulley = layout.ropes.front().trailing_pulley_mm;
    const double half = cradle.cover_outer_mm + hw::kHardwareClearanceMm;
    const double teeth = pinionPitchRadiusMm(spec.hardware) + spec.hardware.rack.module_mm;
    if (std::abs(pulley - layout.pinion_mm) < half + teeth) {
      refuse(spec.hardware.motor.pinion_offset_mm + layout.stack.drive_out_mm, "the pinion");
    } else if (pulley + half > layout.motor_start_mm &&
               pulley - half < layout.motor_start_mm + spec.drive.motor.length_mm) {
      refuse(spec.hardware.motor.offset_mm + layout.stack.drive_out_mm, "the motor");
    }
  }
}

/// What holds a pulley's cradle in its rail.
void checkCradles(const GateSpec& spec, const Layout& layout,
                  std::vector<LayoutProblem>& problems) {
  if (layout.ropes.empty()) {
    return;
  }
  const HollowSection& rail = spec.gate.bottom_rail;
  const PulleyHardware& pulley = spec.hardware.pulley;
  const PulleyCradle cradle = cradleOf(spec);
  for (const RopeLayout& rope : layout.ropes) {
    const double low = rope.heightOfMm(false) - cradle.flange_half_height_mm;
    const double high = rope.heightOfMm(true) + cradle.flange_half_height_mm;
    const double over = std::max(-low, high - rail.height_mm);
    if (over > kLengthEqualMm) {
      problems.push_back({"/hardware/pulley/screw_mm",
                          "the flange of a pulley's cradle, for screws M" + shown(pulley.screw_mm) +
                              ", would stand " + shown(over) + " mm past the edge of " +
                              rail.designation + ": thinner screws, a rail " +
                              shown(rail.height_mm + 2 * over) + " mm high, or ropes " +
                              shown(std::ceil(over)) +
                              (high - rail.height_mm > -low ? " mm lower" : " mm higher")});
    }
  }
  const double most_flange = spec.hardware.bracket.face_gap_mm - kBesideFlangeMm;
  if (pulley.cheek_mm > most_flange + kLengthEqualMm) {
    problems.push_back(
        {"/hardware/pulley/cheek_mm",
         "a cradle's flange of " + shown(pulley.cheek_mm) +
             " mm would meet the rope brackets, which pass the rail's side by " +
             shown(spec.hardware.bracket.face_gap_mm) + " mm: " +
             (most_flange >= kThinnestCheekMm ? "at most " + shown(most_flange) + " mm, or " : "") +
             "brackets at least " + shown(pulley.cheek_mm + kBesideFlangeMm) +
             " mm off (/hardware/bracket/face_gap_mm)"});
  }
  const double root = cradle.rootMm() + kCoverInRailMm;
  if (cradle.rail_half_mm < root) {
    problems.push_back({"/gate/bottom_rail",
                        "the covers of pulleys with a rim of " + shown(2 * cradle.rim_mm) +
                            " mm cannot be held in " + rail.designation + ": rails at least " +
                            shown(std::ceil(2 * root)) + " mm deep, stiles with it"});
  }
}

}  // namespace

void checkPulleys(const GateSpec& spec, const Layout& layout,
                  std::vector<LayoutProblem>& problems) {
  checkSlots(spec, layout, problems);
  checkPulleyRemoval(spec, layout, problems);
  checkCradles(spec, layout, problems);
}

}  // namespace leafstack
