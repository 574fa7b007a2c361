#include "generator/layout/ground/latch.h"

#include <algorithm>
#include <cmath>

#include "generator/layout/figures/hardware.h"
#include "params/catalogue/sold.h"

namespace leafstack {
namespace {

constexpr double kOffFenceMm = 1;           // what is behind the fence post stands free of it
constexpr double kUnderGuideRailMm = 5;     // receiver's upper edge, with the gate closed
constexpr double kShortestReceiverMm = 20;  // less height holds nothing

double claddingMm(const GateSpec& spec) {
  return spec.gate.cladding.kind == CladdingKind::kNone ? 0 : spec.gate.cladding.thickness_mm;
}

ReceiverPlace bottomPlace(const GateSpec& spec, const Layout& layout, const LatchLayout& latch) {
  const StopHardware& stop = spec.hardware.stop;
  const PanelLayout& panel = layout.panels.back();
  ReceiverPlace place;
  place.from_x_mm = latch.face_x_mm - stop.catch_on_post_mm;
  place.to_x_mm = panel.leading_closed_mm + stop.catch_reach_mm;
  place.low_z_mm = panel.underside_z_mm + stop.catch_low_up_mm;
  place.high_z_mm = panel.underside_z_mm + stop.catch_high_up_mm;
  place.play_mm = stop.catch_gap_mm;
  place.front_y_mm = panel.front_y_mm - stop.catch_gap_mm;
  place.rear_y_mm = panel.front_y_mm + layout.stack.frame_depth_mm + stop.catch_gap_mm;
  place.has_front = place.front_y_mm - stop.catch_plate_mm >= kOffFenceMm;
  return place;
}

/// Lowest underside of the guide rail on the panel over the receiver's reach, as the panel leaves.
double underGuideRailZ(const Layout& layout, double reach_mm) {
  const PanelLayout& panel = layout.panels.back();
  const GuideLayout& guide = layout.guides.back();
  const auto under = [&](double x) {
    return guide.z_mm + guide.grade * (x - guide.x_mm) - guide.rail_size_mm / 2 / guide.cosine();
  };
  const double closed =
      std::min(under(panel.leading_closed_mm), under(panel.leading_closed_mm + reach_mm));
  const double falls = std::abs(layout.ground.line.slope(panel.leading_closed_mm)) * reach_mm;
  return closed - falls;
}

std::optional<ReceiverPlace> topPlace(const GateSpec& spec, const Layout& layout,
                                      const LatchLayout& latch) {
  const ReceiverHardware& receiver = spec.hardware.receiver;
  const PanelLayout& panel = layout.panels.back();
  ReceiverPlace place;
  place.from_x_mm = latch.face_x_mm;
  place.to_x_mm = panel.leading_closed_mm + receiver.reach_mm;
  place.high_z_mm = std::min(underGuideRailZ(layout, receiver.reach_mm) - kUnderGuideRailMm,
                             panel.top_z_mm - receiver.down_mm);
  const double lowest =
      std::max(panel.underside_z_mm + spec.gate.bottom_rail.height_mm, latch.bottom.high_z_mm);
  place.low_z_mm = std::max(place.high_z_mm - receiver.height_mm, lowest);
  if (place.high_z_mm - place.low_z_mm < kShortestReceiverMm) {
    return std::nullopt;
  }
  place.play_mm = receiver.gap_mm;
  const double gap = receiver.gap_mm + 2 * spec.shop.coatMm();  // bare, for that play when coated
  place.front_y_mm = panel.front_y_mm - claddingMm(spec) - gap;
  place.rear_y_mm = panel.front_y_mm + layout.stack.frame_depth_mm + gap;
  place.has_front = place.front_y_mm - receiver.plate_mm >= kOffFenceMm;
  return place;
}

}  // namespace

LatchLayout latchOf(const GateSpec& spec, const Layout& layout) {
  const StopHardware& stop = spec.hardware.stop;
  const PanelLayout& panel = layout.panels.back();
  LatchLayout latch;
  latch.face_x_mm = panel.leading_closed_mm - stop.gap_mm - stop.buffer_mm;
  latch.bottom = bottomPlace(spec, layout, latch);
  latch.post_front_y_mm =
      latch.bottom.has_front ? latch.bottom.front_y_mm : panel.front_y_mm + kOffFenceMm;
  latch.post_rear_y_mm = latch.bottom.rear_y_mm;
  latch.post_x_mm = latch.face_x_mm - soldBeside_mm(stop.catch_post_mm,
                                                    latch.post_rear_y_mm - latch.post_front_y_mm,
                                                    stop.catch_wall_mm);
  latch.post_top_z_mm = panel.top_z_mm;
  latch.plate_from_x_mm = latch.post_x_mm - stop.catch_foot_mm;
  latch.plate_to_x_mm = latch.face_x_mm + stop.catch_foot_mm;
  latch.plate_front_y_mm = std::min(
      latch.post_front_y_mm, std::max(kOffFenceMm, latch.post_front_y_mm - stop.catch_across_mm));
  latch.plate_rear_y_mm = latch.post_rear_y_mm + stop.catch_across_mm;
  latch.top = topPlace(spec, layout, latch);
  const ReceiverHardware& receiver = spec.hardware.receiver;
  const double opens_from_x =
      panel.leading_closed_mm + receiver.reach_mm - receiver.lead_mm - receiver.plate_mm;
  latch.top_opens_in_front = opens_from_x >= 0;  // beside the fence post there is no room to
  return latch;
}

}  // namespace leafstack
