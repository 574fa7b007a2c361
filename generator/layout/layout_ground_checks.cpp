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
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/post_plates.h"
#include "generator/layout/layout_parts.h"
#include "generator/layout/travel/panel_travel.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kPinionOverFootingMm = 0.5;  // own choice: teeth turn, the footing is trowelled

double rearFaceMm(const Layout& layout) {
  return layout.panel(1).front_y_mm + layout.stack.frame_depth_mm;
}

/// Teeth reach furthest below the pinion's axis; the footing is highest at one end of that reach.
void checkPinionAboveFooting(const GateSpec& spec, const Layout& layout,
                             std::vector<LayoutProblem>& problems) {
  const HardwareSpec& shelf = spec.hardware;
  const double module = shelf.rack.module_mm;
  const double tip = pinionPitchRadiusMm(shelf) + module;
  const double near_y =
      rearFaceMm(layout) + layout.stack.drive_out_mm + shelf.motor.pinion_offset_mm;
  double over = std::numeric_limits<double>::infinity();
  for (const int strip : {1, kRearStrip}) {
    const bool is_rear = strip == kRearStrip;
    const double edge = layout.ground.rear_strip_y_mm;
    if (is_rear ? near_y + shelf.motor.pinion_width_mm <= edge : near_y >= edge) {
      continue;
    }
    for (const double x : {-tip, 0.0, tip}) {
      const double drop = tip - std::sqrt(tip * tip - x * x);
      over = std::min(over,
                      pinionZ(layout) + drop - footingZ(spec, layout, strip, layout.pinion_mm + x));
    }
  }
  const double into = tip + kPinionOverFootingMm - over;
  if (into <= kLengthEqualMm) {
    return;
  }
  // Packing that only lifts the rack over the ropes shrinks as the pinion's own height, or its
  // radius, does that.
  const double lifted = spec.drive.packing_mm ? 0 : layout.heights.motor_packing_mm;
  const double by_height = tip - into;
  const double by_rack = lifted > kLengthEqualMm ? tip - into / 2 : by_height;
  const double teeth =
      std::floor(2 * (std::max(by_height, by_rack) - module) / module + kLengthEqualMm);
  problems.push_back({"/hardware/motor/pinion_up_mm",
                      "a pinion of " + shown(shelf.motor.pinion_teeth) + " teeth is " +
                          shown(2 * tip) + " mm over its tips, and its axis stands " + shown(over) +
                          " mm above the footing: a pinion at least " +
                          shown(std::ceil(shelf.motor.pinion_up_mm + lifted + into)) +
                          " mm over the motor's feet, or of " +
                          (teeth >= 1 ? "at most " + shown(teeth) + " teeth" : "a smaller module") +
                          " (/hardware/motor/pinion_teeth)"});
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

/// Feet of a rack are screwed to the rail's flat: above it there is only the corner.
void checkRackFeet(const GateSpec& spec, const Layout& layout,
                   std::vector<LayoutProblem>& problems) {
  const RackHardware& rack = spec.hardware.rack;
  if (rack.fixing != RackFixing::kFoot) {
    return;
  }
  const HollowSection& rail = spec.gate.bottom_rail;
  const double top = layout.heights.rack_lower_up_mm + rack.height_mm +
                     (rack.foot_up_mm + rack.slot_height_mm) / 2;
  // Corners of an extruded rail are nearly sharp: there the top wall ends it.
  const double flat =
      std::min(holeZone(rail).high_mm, rail.height_mm - rail.wall_mm - kHoleInFlatMm);
  if (top > flat + kLengthEqualMm) {
    problems.push_back(
        {"/hardware/motor/pinion_up_mm",
         "the rack's feet are screwed " + shown(top) +
             " mm up the bottom rail, whose flat ends at " + shown(flat) + " mm: a pinion " +
             shown(std::ceil(2 * (top - flat))) +
             " mm lower over the motor's feet would do (the rack follows it by half at least), or "
             "a higher rail (/gate/bottom_rail)"});
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

/// Where the track rises most over the chord of a panel's wheels beside one of them.
struct RiseAtKeeper {
  int panel = 1;
  double rise_mm = 0, x_mm = 0, drive_mm = 0;
};

RiseAtKeeper highestAtKeepers(const GateSpec& spec, const Layout& layout) {
  constexpr int kRiseLookedAt = 480;
  const double far = keeperInsetMm(spec.hardware, 0) + spec.hardware.keeper.length_mm / 2;
  RiseAtKeeper highest;
  for (const PanelLayout& panel : layout.panels) {
    const auto* ride = dynamic_cast<const PanelTravel*>(layout.ground.travels[panel.number].get());
    const GroundLine& line = layout.ground.lineOf(panel.number);
    for (int i = 0; ride != nullptr && i <= kRiseLookedAt; ++i) {
      const double drive = layout.drive_travel_mm * i / kRiseLookedAt;
      const auto wheels = ride->wheelsAt(drive);
      const double x0 = wheels.leading.contact_x_mm;
      const double x1 = wheels.trailing.contact_x_mm;
      const double z0 = line.heightMm(x0);
      const double chord = (line.heightMm(x1) - z0) / (x1 - x0);
      for (const double x : {x0 + far / 2, x0 + far, x1 - far / 2, x1 - far}) {
        const double rise = line.heightMm(x) - z0 - chord * (x - x0);
        if (rise > highest.rise_mm) {
          highest = {panel.number, rise, x, drive};
        }
      }
    }
  }
  return highest;
}

/// Over a hump beside a wheel track keepers end higher, until nothing is left of them.
void checkKeepersOverGround(const GateSpec& spec, const Layout& layout,
                            std::vector<LayoutProblem>& problems) {
  constexpr double kLeastKeeperMm = 5;  // that can be cut and welded: own choice
  const TrackKeepers keepers = trackKeepers(spec);
  if (!layout.ground.is_surveyed || keepers.height_mm >= kLeastKeeperMm) {
    return;
  }
  const RiseAtKeeper at = highestAtKeepers(spec, layout);
  problems.push_back(
      {"/site/track_survey_mm",
       "bent over the surveyed points the track under panel " + std::to_string(at.panel) +
           " rises " + shown(at.rise_mm) +
           " mm over the line of its wheels at x = " + shown(at.x_mm, 0) + ", drive travel " +
           shown(at.drive_mm, 0) + ": track keepers would have to end " + shown(keepers.low_mm) +
           " mm over the footing, which leaves " + shown(std::max(0.0, keepers.height_mm)) +
           " mm of them under the rail. Ease the points around it, or give more where it bends"});
}

}  // namespace

void checkOnFooting(const GateSpec& spec, const Layout& layout,
                    std::vector<LayoutProblem>& problems) {
  checkKeepersOverGround(spec, layout, problems);
  checkTrackWidth(spec, layout, problems);
  checkPinionAboveFooting(spec, layout, problems);
  checkFootBesidePost(spec, layout, problems);
  checkRackFeet(spec, layout, problems);
}

}  // namespace leafstack
