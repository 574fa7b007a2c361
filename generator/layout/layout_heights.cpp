// Heights of ropes and hardware, and where the ropes end.
#include <algorithm>
#include <cmath>
#include <limits>

#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/rack_fit.h"
#include "generator/layout/layout_parts.h"

namespace leafstack {
namespace {

namespace hw = hardware;

/// How much higher the motor's strip of footing lies than panel 1's, square to the track.
double motorStripMm(const GateSpec& spec, const Layout& layout) {
  const double track = layout.panel(1).front_y_mm + layout.stack.frame_depth_mm / 2;
  const double panel_rise = layout.ground.cross_grade * (track - layout.ground.front_track_y_mm);
  return (layout.ground.rear_strip_z_mm - panel_rise) * alongCosine(spec.site);
}

/// How far brackets rise and fall along a carrying panel's rope, either way from the middle.
struct RopeRise {
  double front_mm = 0, rear_mm = 0;
  double most() const { return std::max(front_mm, rear_mm); }
};

std::vector<RopeRise> ropeRises(const Layout& layout) {
  std::vector<RopeRise> rises;
  for (int k = 1; k < layout.panel_count; ++k) {
    const auto most = [&](int body, double x) {
      return bracketOffRope(layout, k, body, {x, layout.panel(k).undersideZ(x)}).most_mm;
    };
    const double rear = k == 1 ? layout.ground_bracket_mm : layout.panel(k - 1).leading_closed_mm;
    rises.push_back({most(k + 1, layout.panel(k + 1).trailing_closed_mm), most(k - 1, rear)});
  }
  return rises;
}

/// Height of a bore when closed, and how steep its strands get.
double boreZ(const Layout& layout, int body, double x, RopeLayout& rope) {
  const PanelLayout& carrier = layout.panel(rope.carrier);
  const double on_line = carrier.undersideZ(x) + rope.height_mm / carrier.cosine();
  const BracketOffRope ride = bracketOffRope(layout, rope.carrier, body, {x, on_line});
  rope.steepest = std::max(rope.steepest, ride.steepest);
  rope.swivel_deg = std::max(rope.swivel_deg, ride.swivel_rad * kDegreesPerRadian);
  return on_line + ride.offset_mm / carrier.cosine();
}

/// Packing under a motor and what its own base makes up. The base takes up what stock flats leave;
/// without one, packers are as thick as they have to be.
struct MotorStand {
  double packing_mm = 0, raise_mm = 0;
};

MotorStand motorStand(double wanted_mm, double most_mm, double band_mm) {
  // Thicknesses that flats are sold in, singly and two on each other; 0 for none: common practice,
  // from memory.
  constexpr double kFlatsMm[] = {0, 5, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60};
  if (band_mm <= 0) {
    return {std::max(0.0, wanted_mm), 0};
  }
  // Lower than needed only where the rail does not let the rack stand higher.
  const double rack = std::max(wanted_mm, std::min(0.0, most_mm));
  MotorStand best{std::max(0.0, rack), std::max(-band_mm, std::min(0.0, rack))};
  double nearest = std::numeric_limits<double>::infinity();
  for (const double flat : kFlatsMm) {
    const double off = rack - flat;
    if (rack > 0 && std::abs(off) < nearest && std::abs(off) <= band_mm + kLengthEqualMm) {
      nearest = std::abs(off);
      best = {flat, off};
    }
  }
  return best;
}

/// The rack's lower edge over the middle of panel 1's ropes: clear of what goes with them, be it
/// nuts that are larger; standoffs may reach below it.
double rackOverRopesMm(const GateSpec& spec, double half_hardware_mm) {
  constexpr double kSpareMm = 1;
  const RackHardware& rack = spec.hardware.rack;
  const double below =
      rack.fixing == RackFixing::kFoot ? 0 : (rack.standoff_mm - rack.height_mm) / 2;
  const double clear = std::max(hw::kHardwareClearanceMm, spec.checks.hardware_clearance_mm);
  const double over = below > 0 ? below + clear + kSpareMm : 0;
  const double half_nuts = ropesApartMm(spec) / 2 + terminalOf(spec).nutRadiusMm();
  return std::max(half_hardware_mm + std::max(hw::kRackClearanceMm, over),
                  half_nuts + std::max(clear, over));
}

/// Of the panels' own cradles that rope brackets on the same panels lie over; 0: over none.
double halfCradlesUnderBracketsMm(const GateSpec& spec, const Layout& layout) {
  double half = layout.panel_count > 2 ? halfCradlesUnderMm(spec, spec.ropes.bracket_inset_mm) : 0;
  for (int behind = 1; behind + 2 <= layout.panel_count; ++behind) {
    const PanelLayout& panel = layout.panel(behind);
    half = std::max(half, halfCradlesUnderMm(spec, rearBracketInsetMm(panel) / panel.cosine()));
  }
  return half;
}

/// High ropes pass the low ones' brackets, however the ground moves them; all pass the axles' heads
/// on their outside.
std::vector<double> autoRopeHeights(const GateSpec& spec, const Layout& layout,
                                    const std::vector<RopeRise>& rises) {
  const Flat zone = ropeZone(spec);
  const double across = acrossMm(spec, layout);
  double most = 0;
  for (const RopeRise& rise : rises) {
    most = std::max(most, rise.most());
  }
  const double half_bracket = bracketHeightMm(spec) / 2;
  const double half_own = halfCradlesUnderBracketsMm(spec, layout);
  const double apart = half_bracket + std::max({half_bracket, halfHardwareMm(spec), half_own}) +
                       hw::kHardwareClearanceMm + most + across;
  // Ground too rough for the hardware is laid out as well as may be; the clash check tells.
  const double half_apart = ropesApartMm(spec) / 2;
  const double wanted = std::max(zone.low_mm, spec.hardware.pulley.low_up_mm + half_apart);
  const double low =
      layout.panel_count <= 2 ? wanted : std::clamp(zone.high_mm - apart, zone.low_mm, wanted);
  const double highest = std::max(low, zone.high_mm);
  const double high =
      std::min(std::max(spec.hardware.pulley.high_up_mm + half_apart, low + apart), highest);
  std::vector<double> heights;
  for (int carrier = 1; carrier < layout.panel_count; ++carrier) {
    heights.push_back(carrier % 2 == 1 ? low : high);
  }
  return heights;
}

}  // namespace

Flat ropeZone(const GateSpec& spec) {
  const HollowSection& rail = spec.gate.bottom_rail;
  const double half_slot = cradleSlotHalfHeightMm(spec);
  const double half_apart = ropesApartMm(spec) / 2;
  const Flat holes = holeZone(rail);
  // The slots stay in the flat of the rail's side.
  return {holes.low_mm + half_slot + half_apart, holes.high_mm - half_slot - half_apart};
}

double halfHardwareMm(const GateSpec& spec) {
  const double covers = spec.hardware.pulley.thickness_mm + 2 * hw::kCheekGapMm;
  return std::max(bracketHeightMm(spec), ropesApartMm(spec) + covers) / 2;
}

double halfCradlesUnderMm(const GateSpec& spec, double inset_mm) {
  const PulleyCradle cradle = cradleOf(spec);
  constexpr double kBesideMm = 1;  // of what is fixed to one rail; nothing moves between them
  const double half = spec.hardware.bracket.length_mm / 2 + kBesideMm;
  const double from = inset_mm - pulleyInsetMm(spec) - half;
  const double to = from + 2 * half;
  if (to < -cradle.rim_mm || from > cradle.flange_to_mm) {
    return 0;
  }
  return ropesApartMm(spec) / 2 +
         (to < cradle.flange_from_mm ? cradle.cheek_high_mm : cradle.flange_half_height_mm);
}

void layOutHeights(const GateSpec& spec, Layout& layout) {
  HeightLayout& z = layout.heights;
  z.underside_mm = spec.gate.ground_clearance_mm;
  z.footing_top_mm = z.underside_mm - undersideOverFootingMm(spec.hardware);
  z.rail_height_mm = spec.gate.bottom_rail.height_mm;
  z.top_mm = spec.gate.height_mm;
  const std::vector<RopeRise> rises = ropeRises(layout);
  z.rope_heights_mm =
      spec.ropes.heights_mm ? *spec.ropes.heights_mm : autoRopeHeights(spec, layout, rises);
  z.rope_heights_mm.resize(layout.panel_count - 1);
  const double half_hardware = halfHardwareMm(spec);
  double highest_rope = spec.hardware.pulley.low_up_mm + ropesApartMm(spec) / 2;
  double most_rise = 0;
  for (std::size_t i = 0; i < z.rope_heights_mm.size(); ++i) {
    highest_rope = std::max(highest_rope, z.rope_heights_mm[i]);
    most_rise = std::max(most_rise, rises[i].most());
  }
  const double across = acrossMm(spec, layout);
  const double over_rope =
      std::max(hw::kCladdingOverRopeMm, spec.checks.clearance_mm) + spec.shop.coatMm();
  z.cladding_bottom_up_mm = spec.gate.cladding.bottom_mm.value_or(highest_rope + half_hardware +
                                                                  over_rope + across + most_rise);
  // A single panel has no rope to clear: the motor stands on its bare base if that is high enough.
  const bool roped = layout.panel_count >= 2;
  const double strip = motorStripMm(spec, layout);
  const double packing = roped
                             ? z.rope_heights_mm.front() + rackOverRopesMm(spec, half_hardware) -
                                   bareRackUpMm(spec.hardware) + rises.front().rear_mm - strip
                             : std::ceil(lowestRackMm(spec) - bareRackUpMm(spec.hardware) - strip);
  // On a slope the motor stands level on wedges: some is left under its uphill end.
  const double wedge = motorWedgeMm(spec, layout);
  const double most_packing = highestRackMm(spec) - bareRackUpMm(spec.hardware) - strip;
  const double wanted = layout.ground.is_surveyed ? std::min(packing, most_packing) : packing;
  const MotorStand stand = spec.drive.packing_mm
                               ? MotorStand{*spec.drive.packing_mm, 0}
                               : motorStand(wedge > 0 ? std::max(wanted, wedge) : wanted,
                                            most_packing, motorBandMm(spec));
  z.motor_packing_mm = stand.packing_mm;
  z.motor_raise_mm = stand.raise_mm;
  z.rack_lower_up_mm = bareRackUpMm(spec.hardware) + stand.packing_mm + stand.raise_mm + strip;
}

void raiseMotorOnSurvey(const GateSpec& spec, Layout& layout) {
  if (spec.drive.packing_mm || !layout.ground.is_surveyed) {
    return;
  }
  const MotorPacking packing = motorPacking(spec, layout);
  const bool in_footing = packing.least() < -kLengthEqualMm;
  const bool runs_out = !packing.isFlat() && packing.least() < kThinnestWedgeEndMm;
  if (!in_footing && !runs_out) {
    return;
  }
  HeightLayout& z = layout.heights;
  const double wanted = (kThinnestWedgeEndMm - packing.least()) * layout.panel(1).cosine();
  double most = highestRackMm(spec) - z.rack_lower_up_mm;
  for (const double up : layout.ground.rack_up_mm) {
    most = std::min(most, highestRackMm(spec) - z.rack_lower_up_mm - up);
  }
  const double rise = std::clamp(wanted, 0.0, std::max(0.0, most));
  z.motor_packing_mm += rise;
  z.rack_lower_up_mm += rise;
}

void placeRopes(const GateSpec& spec, Layout& layout) {
  const RopeSpec& ropes = spec.ropes;
  layout.ropes.reserve(layout.panels.size());
  for (int k = 1; k < layout.panel_count; ++k) {
    RopeLayout rope;
    rope.carrier = k;
    rope.height_mm = layout.heights.rope_heights_mm[k - 1];
    rope.apart_mm = ropesApartMm(spec);
    rope.end_along_mm = terminalOf(spec).ropeEndMm();
    rope.pitch_mm = layout.pulley_pitch_mm;
    const double inset = layout.pulley_inset_mm * layout.panel(k).cosine();
    rope.leading_pulley_mm = layout.panel(k).leading_closed_mm + inset;
    rope.trailing_pulley_mm = layout.panel(k).trailing_closed_mm - inset;
    rope.front_bracket_mm = layout.panel(k + 1).trailing_closed_mm -
                            ropes.bracket_inset_mm * layout.panel(k + 1).cosine();
    rope.rear_bracket_mm = layout.ground_bracket_mm;
    if (k > 1) {
      const PanelLayout& behind = layout.panel(k - 1);
      rope.rear_bracket_mm = behind.leading_closed_mm + rearBracketInsetMm(behind);
    }
    rope.front_bore_z_mm = boreZ(layout, k + 1, rope.front_bracket_mm, rope);
    rope.rear_bore_z_mm = boreZ(layout, k - 1, rope.rear_bracket_mm, rope);
    layout.ropes.push_back(rope);
  }
}

}  // namespace leafstack
