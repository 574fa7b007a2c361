// Heights of ropes and hardware, and where the ropes end.
#include <algorithm>
#include <cmath>

#include "generator/ground.h"
#include "generator/hardware.h"
#include "generator/layout_parts.h"
#include "generator/sections.h"

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

/// Where the bracket of a rope stands in the panel or ground that carries it, closed: X and Z of
/// the rope's own line, less the middle of what it rises and falls over the travel.
std::array<double, 2> boreAt(const Layout& layout, const RopeLayout& rope, int body, double x) {
  const PanelLayout& carrier = layout.panel(rope.carrier);
  const double cosine = carrier.cosine();
  const std::array<double, 2> on_line = {x, carrier.undersideZ(x) + rope.up_mm / cosine};
  if (!layout.ground.is_surveyed) {
    return on_line;
  }
  const Range rise = riseSeenFrom(layout, rope.carrier, body, on_line);
  return {x, on_line[1] - (rise.low + rise.high) / 2 / cosine};
}

double halfRiseMm(const Layout& layout, int carrier, int body, double x) {
  if (!layout.ground.is_surveyed) {
    return 0;
  }
  const Range rise = riseSeenFrom(layout, carrier, body, {x, layout.panel(carrier).undersideZ(x)});
  return (rise.high - rise.low) / 2;
}

std::vector<RopeRise> ropeRises(const Layout& layout) {
  std::vector<RopeRise> rises;
  for (int k = 1; k < layout.panel_count; ++k) {
    const double rear = k == 1 ? layout.ground_bracket_mm : layout.panel(k - 1).leading_closed_mm;
    rises.push_back({halfRiseMm(layout, k, k + 1, layout.panel(k + 1).trailing_closed_mm),
                     halfRiseMm(layout, k, k - 1, rear)});
  }
  return rises;
}

/// Low ropes pass the axles' heads, high ones the low ones' brackets, however the ground moves
/// them.
std::vector<double> autoRopeHeights(const GateSpec& spec, const Layout& layout,
                                    const std::vector<RopeRise>& rises) {
  constexpr double kOverAxleMm =
      hw::kAxleUpMm + hw::kAxleHeadMm / 2 + hw::kBracketHalfHeightMm + hw::kHardwareClearanceMm;
  // The slot must stay in the flat of the rail's side, below the upper corner.
  const double highest = holeZone(spec.gate.bottom_rail).high_mm - halfSlotMm();
  const double across = std::abs(spec.site.cross_grade) *
                        (layout.stack.frame_depth_mm + layout.stack.gap_mm) *
                        alongCosine(spec.site);
  double most = 0;
  for (const RopeRise& rise : rises) {
    most = std::max(most, rise.most());
  }
  const double low = std::max(hw::kLowRopeUpMm, most > 0 ? kOverAxleMm + most : 0.0);
  const double apart = 2 * hw::kBracketHalfHeightMm + hw::kHardwareClearanceMm + most;
  const double high = std::max(hw::kHighRopeUpMm, low + apart) + across;
  std::vector<double> heights;
  for (int carrier = 1; carrier < layout.panel_count; ++carrier) {
    heights.push_back(std::min(carrier % 2 == 1 ? low : high, highest));
  }
  return heights;
}

}  // namespace

double halfSlotMm() {
  return hw::kPulleyThicknessMm / 2 + hw::kPulleySlotGapMm;
}

void layOutHeights(const GateSpec& spec, Layout& layout) {
  HeightLayout& z = layout.heights;
  const double cosine = alongCosine(spec.site);
  z.underside_mm = spec.gate.ground_clearance_mm;
  z.footing_top_mm = z.underside_mm - hw::kUndersideOverFootingMm;
  z.rail_height_mm = spec.gate.bottom_rail.height_mm;
  z.top_mm = spec.gate.height_mm;
  const std::vector<RopeRise> rises = ropeRises(layout);
  z.rope_up_mm =
      spec.ropes.heights_mm ? *spec.ropes.heights_mm : autoRopeHeights(spec, layout, rises);
  z.rope_up_mm.resize(layout.panel_count - 1);
  const double half_hardware = std::max(hw::kBracketHalfHeightMm, hw::kPulleyThicknessMm / 2);
  double highest_rope = hw::kLowRopeUpMm;
  double most_rise = 0;
  for (std::size_t i = 0; i < z.rope_up_mm.size(); ++i) {
    highest_rope = std::max(highest_rope, z.rope_up_mm[i]);
    most_rise = std::max(most_rise, rises[i].most());
  }
  const double across = std::abs(spec.site.cross_grade) *
                        (layout.stack.frame_depth_mm + layout.stack.gap_mm) * cosine;
  const double over_rope = std::max(hw::kCladdingOverRopeMm, spec.checks.clearance_mm);
  z.cladding_bottom_up_mm = spec.gate.cladding.bottom_mm.value_or(highest_rope + half_hardware +
                                                                  over_rope + across + most_rise);
  // A single panel has no rope to clear: the motor stands on its bare base.
  const bool roped = layout.panel_count >= 2;
  const double strip = motorStripMm(spec, layout);
  const double packing = roped ? z.rope_up_mm.front() + half_hardware + hw::kRackClearanceMm -
                                     hw::kBareRackUpMm + rises.front().rear_mm - strip
                               : 0;
  // On a slope the motor stands level on wedges: some is left under its uphill end.
  constexpr double kThinnestWedgeMm = 3;
  const double slope = std::abs(layout.ground.line.slope(layout.pinion_mm));
  const double wedge = slope > 0 ? slope * spec.drive.motor.length_mm / 2 + kThinnestWedgeMm : 0;
  z.motor_packing_mm = spec.drive.packing_mm.value_or(std::max({0.0, packing, wedge}));
  z.rack_lower_up_mm = hw::kBareRackUpMm + z.motor_packing_mm + strip;
}

void placeRopes(const GateSpec& spec, Layout& layout) {
  const RopeSpec& ropes = spec.ropes;
  const double along = alongCosine(spec.site);
  const double r = layout.reach_mm * along;
  for (int k = 1; k < layout.panel_count; ++k) {
    RopeLayout rope;
    rope.carrier = k;
    rope.up_mm = layout.heights.rope_up_mm[k - 1];
    rope.pitch_mm = layout.pulley_pitch_mm;
    const double inset = ropes.pulley_inset_mm * layout.panel(k).cosine();
    rope.leading_pulley_mm = layout.panel(k).leading_closed_mm + inset;
    rope.trailing_pulley_mm = layout.panel(k).trailing_closed_mm - inset;
    rope.front_bracket_mm = layout.panel(k + 1).trailing_closed_mm -
                            ropes.bracket_inset_mm * layout.panel(k + 1).cosine();
    rope.rear_bracket_mm = layout.ground_bracket_mm;
    if (k > 1) {
      const PanelLayout& behind = layout.panel(k - 1);
      const double nearest = r - behind.stagger_mm;
      const double farthest = behind.overlap_mm - r;
      rope.rear_bracket_mm = behind.leading_closed_mm + (nearest + farthest) / 2;
    }
    rope.front_bore_z_mm = boreAt(layout, rope, k + 1, rope.front_bracket_mm)[1];
    rope.rear_bore_z_mm = boreAt(layout, rope, k - 1, rope.rear_bracket_mm)[1];
    layout.ropes.push_back(rope);
  }
}

}  // namespace leafstack
