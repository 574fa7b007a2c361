// What would stand in the footing, or in what else stands on it.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/ground_foot.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/keepers.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/ground/end_buffer.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/latch.h"
#include "generator/layout/ground/post_plates.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/layout/layout_parts.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kThinnestKeeperMm = 3;  // as in the table
constexpr double kLeastOnBufferMm = 20;  // of a buffer's height that works. Own choice

double rearFaceMm(const Layout& layout) {
  return layout.panel(1).front_y_mm + layout.stack.frame_depth_mm;
}

/// The ground bracket's foot beside the guide post's base plate: large pulleys take its rope, and
/// with it the bracket, further back.
void checkFootBesidePost(const GateSpec& spec, const Layout& layout,
                         std::vector<LayoutProblem>& problems) {
  const auto plate = guidePostPlate(spec, layout);
  for (const RopeLayout& rope : layout.ropes) {
    if (rope.carrier != 1 || !plate) {
      continue;
    }
    const BracketHardware& bracket = spec.hardware.bracket;
    const double apart_x = std::abs(plate->middle_x_mm - rope.rear_bracket_mm) -
                           (plate->along_mm + bracket.foot_length_mm) / 2;
    const double depth = rope.pitch_mm - layout.stack.frame_depth_mm - 2 * bracket.face_gap_mm;
    const double foot_high = groundFootMm(spec, layout.stack.frame_depth_mm, depth).high;
    const double room = plate->front_y_mm - rearFaceMm(layout);
    const double over = foot_high + hw::kHardwareClearanceMm - room;
    if (apart_x >= hw::kHardwareClearanceMm || over <= kLengthEqualMm) {
      continue;
    }
    problems.push_back({"/ropes/pulley_pitch_mm",
                        "the ground bracket's foot, for pulleys of a pitch diameter of " +
                            shown(rope.pitch_mm) + " mm, goes back to " + shown(foot_high) +
                            " mm behind the rail, where the guide post's base plate begins at " +
                            shown(room) + " mm: a guide channel at least " +
                            shown(spec.guides.channel_depth_mm + std::ceil(over)) +
                            " mm deep (/guides/channel_depth_mm), or smaller pulleys"});
  }
}

/// The ground bracket's upright stands clear of a wide angle, or of keepers beside its flat.
void checkTrackWidth(const GateSpec& spec, const Layout& layout,
                     std::vector<LayoutProblem>& problems) {
  const TrackHardware& track = spec.hardware.track;
  const BracketHardware& bracket = spec.hardware.bracket;
  if (layout.ropes.empty() || track.kind != TrackKind::kAngle) {
    return;
  }
  const bool has_flat = track.hasFlat();
  const double tip_up = has_flat ? bracket.foot_mm : track.thickness_mm / std::numbers::sqrt2;
  const double room = layout.stack.frame_depth_mm / 2 + bracket.face_gap_mm -
                      hw::kHardwareClearanceMm + std::max(0.0, bracket.foot_mm - tip_up);
  const double half = has_flat ? trackKeepers(spec).outer_half_mm : trackHalfWidthMm(track);
  if (half > room + kLengthEqualMm) {
    const double most = has_flat ? trackFlatWidth_mm(track) - 2 * (half - room)
                                 : std::floor(room * std::numbers::sqrt2);
    problems.push_back(
        {has_flat ? "/hardware/track/flat_width_mm" : "/hardware/track/size_mm",
         (has_flat ? "a flat of " + shown(trackFlatWidth_mm(track)) + " mm with its keepers"
                   : "an angle of " + shown(track.size_mm) + " mm") +
             " is " + shown(2 * half) +
             " mm wide on the footing, beside the ground bracket: at most " + shown(most) +
             " mm under a rail " + shown(layout.stack.frame_depth_mm) + " mm deep"});
  }
}

/// The anchors of the ground bracket's foot, half under the rail: rail and axles pass over them.
void checkFootUnderRail(const GateSpec& spec, const Layout& layout,
                        std::vector<LayoutProblem>& problems) {
  if (layout.ropes.empty()) {
    return;
  }
  const HardwareSpec& shelf = spec.hardware;
  const BracketHardware& bracket = shelf.bracket;
  const double depth =
      layout.ropes.front().pitch_mm - layout.stack.frame_depth_mm - 2 * bracket.face_gap_mm;
  const Range foot = groundFootMm(spec, layout.stack.frame_depth_mm, depth);
  const ThreadClass& anchor = threadThrough(bracket.foot_hole_mm);
  const double near = (foot.low + foot.high - anchor.washer_mm) / 2 - hw::kHardwareClearanceMm;
  const double anchor_up =
      anchor.washer_thickness_mm + anchor.nut_mm + kBeyondNutPerThread * anchor.thread_mm;
  const double under = undersideOverFootingMm(shelf);
  const double room = under - hw::kHardwareClearanceMm - anchor_up;
  if (near < 0 && bracket.foot_mm > room + kLengthEqualMm) {
    problems.push_back({"/hardware/bracket/foot_mm",
                        "the anchors of a ground bracket's foot of " + shown(bracket.foot_mm) +
                            " mm reach " + shown(bracket.foot_mm + anchor_up) +
                            " mm up, under a rail that runs " + shown(under) +
                            " mm above the footing: at most " + shown(room) + " mm"});
  }
  const WheelHardware& wheel = shelf.wheel;
  const double ring_room =
      under + wheel.axle_up_mm - hw::kHardwareClearanceMm - anchor_up - bracket.foot_mm;
  if (wheel.mount == WheelMount::kRail && near < wheel.axle_projection_mm &&
      wheel.axle_head_mm / 2 > ring_room + kLengthEqualMm) {
    problems.push_back({"/hardware/wheel/axle_head_mm",
                        "rings of " + shown(wheel.axle_head_mm) +
                            " mm on the axles run into the anchors of the ground bracket's foot, "
                            "which reach " +
                            shown(bracket.foot_mm + anchor_up) + " mm up: at most " +
                            shown(2 * ring_room) + " mm"});
  }
}

/// Track keepers pass the ground bracket's upright and stand before the fence where axles do.
void checkKeepersBesideTrack(const GateSpec& spec, const Layout& layout,
                             std::vector<LayoutProblem>& problems) {
  const HardwareSpec& shelf = spec.hardware;
  const double past_bracket = layout.ropes.empty()
                                  ? std::numeric_limits<double>::infinity()
                                  : shelf.bracket.face_gap_mm - hw::kHardwareClearanceMm;
  const double room =
      layout.stack.frame_depth_mm / 2 + std::min(past_bracket, shelf.wheel.axle_projection_mm);
  const double over = trackKeepers(spec).outer_half_mm - room;
  if (over > kLengthEqualMm) {
    const double most = shelf.keeper.plate_mm - over;
    problems.push_back(
        {"/hardware/keeper/plate_mm",
         "track keepers of " + shown(shelf.keeper.plate_mm) + " mm are " +
             shown(2 * trackKeepers(spec).outer_half_mm) + " mm over both, and have " +
             shown(2 * room) + " mm where they pass the ground bracket and the fence: " +
             (most >= kThinnestKeeperMm ? "at most " + shown(most) + " mm, or " : "") +
             "a rail and its panel " + shown(layout.stack.frame_depth_mm + std::ceil(2 * over)) +
             " mm deep (/gate/bottom_rail)"});
  }
}

/// An end stop's plate reaches up to its buffer, which stands clear of the rope bracket behind the
/// rail's end.
void checkEndStops(const GateSpec& spec, const Layout& layout,
                   std::vector<LayoutProblem>& problems) {
  const double up = spec.hardware.stop.height_up_mm;
  double least = 0;
  for (const PanelLayout& panel : layout.panels) {
    const EndBuffer buffer = endBuffer(spec, layout, panel.number);
    least = std::max(least, std::min(buffer.low_up_mm + kLeastOnBufferMm, buffer.high_up_mm));
  }
  if (up < least - kLengthEqualMm) {
    problems.push_back({"/hardware/stop/height_up_mm",
                        "an end stop that ends " + shown(up) +
                            " mm above the rail's underside does not back its buffer, which "
                            "stands clear of the rope bracket: at least " +
                            shown(std::ceil(least)) + " mm"});
  }
}

/// At the latch: the buffer before the rail's end, the post's base plate before the track's.
void checkLatchFoot(const GateSpec& spec, const Layout& layout,
                    std::vector<LayoutProblem>& problems) {
  const StopHardware& stop = spec.hardware.stop;
  const double rail = layout.heights.rail_height_mm;
  if (stop.buffer_up_mm > rail - kLeastOnBufferMm + kLengthEqualMm) {
    problems.push_back(
        {"/hardware/stop/buffer_up_mm", "a buffer from " + shown(stop.buffer_up_mm) +
                                            " mm above the rail's underside on does not stop " +
                                            spec.gate.bottom_rail.designation + ": at most " +
                                            shown(rail - kLeastOnBufferMm) + " mm"});
  }
  const LatchLayout latch = latchOf(spec, layout);
  const double half_depth = layout.stack.frame_depth_mm / 2;
  const double track_half = trackHalfWidthMm(spec.hardware.track);
  for (const PanelLayout& panel : layout.panels) {
    const double track_y = panel.front_y_mm + half_depth;
    const double over = latch.plate_to_x_mm + hw::kHardwareClearanceMm -
                        trackEnds(spec, layout, panel.number).from_x_mm;
    if (over > kLengthEqualMm && track_y - track_half < latch.plate_rear_y_mm &&
        track_y + track_half > latch.plate_front_y_mm) {
      problems.push_back({"/hardware/stop/catch_foot_mm",
                          "the catch post's base plate, " + shown(stop.catch_foot_mm) +
                              " mm beyond its post, lies on panel " + std::to_string(panel.number) +
                              "'s track: at most " + shown(std::floor(stop.catch_foot_mm - over)) +
                              " mm"});
      return;
    }
  }
}

}  // namespace

void checkOnFooting(const GateSpec& spec, const Layout& layout,
                    std::vector<LayoutProblem>& problems) {
  checkTrackWidth(spec, layout, problems);
  checkFootBesidePost(spec, layout, problems);
  checkFootUnderRail(spec, layout, problems);
  checkKeepersBesideTrack(spec, layout, problems);
  checkEndStops(spec, layout, problems);
  checkLatchFoot(spec, layout, problems);
}

}  // namespace leafstack
