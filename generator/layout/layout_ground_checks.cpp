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
#include "generator/layout/travel/panel_travel.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kThinnestKeeperMm = 3;  // as in the table
constexpr double kLeastOnBufferMm = 20;  // of a buffer's height that works. Own choice

// What may be changed for the ground bracket's foot, as far as the table goes.
constexpr double kDeepestChannelMm = 120, kThinnestEdgeMm = 5, kNarrowestWheelMm = 8;
constexpr double kLeastPitchMm = 30, kThinnestFootMm = 3, kDeepestAxleMm = -250,
                 kHighestAxleMm = 150;
void setChannelDepth(GateSpec& spec, double value) {
  spec.guides.channel_depth_mm = value;
}
void setPlateFront(GateSpec& spec, double value) {
  spec.hardware.post.plate_front_mm = value;
}
void setFootHole(GateSpec& spec, double value) {
  spec.hardware.bracket.foot_hole_mm = value;
}
void setFoot(GateSpec& spec, double value) {
  spec.hardware.bracket.foot_mm = value;
}
void setWheelWidth(GateSpec& spec, double value) {
  spec.hardware.wheel.width_mm = value;
}
void setPitch(GateSpec& spec, double value) {
  spec.ropes.pulley_pitch_mm = value;
}
void setWheelAxleUp(GateSpec& spec, double value) {
  spec.hardware.wheel.axle_up_mm = value;
}
void setAxleHead(GateSpec& spec, double value) {
  spec.hardware.wheel.axle_head_mm = value;
}

std::vector<FigureToTry> lowerFoot(const GateSpec& spec) {
  return {{"a foot of at most ", " mm (/hardware/bracket/foot_mm)", setFoot,
           std::ceil(spec.hardware.bracket.foot_mm), kThinnestFootMm, 1},
          {"anchor holes of at most ", " mm (/hardware/bracket/foot_hole_mm)", setFootHole,
           std::ceil(spec.hardware.bracket.foot_hole_mm), kThinnestEdgeMm, 1},
          {"wheels' axles at most ", " mm up (/hardware/wheel/axle_up_mm)", setWheelAxleUp,
           std::ceil(spec.hardware.wheel.axle_up_mm), kDeepestAxleMm, 1}};
}

double rearFaceMm(const Layout& layout) {
  return layout.panel(1).front_y_mm + layout.stack.frame_depth_mm;
}

/// The ground bracket's foot beside the guide post's base plate: large pulleys take its rope, and
/// with it the bracket, further back.
void checkFootBesidePost(const GateSpec& spec, const Layout& layout,
                         std::vector<ProblemToCure>& problems) {
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
    problems.push_back(
        {{"/ropes/pulley_pitch_mm",
          "the ground bracket's foot, for pulleys of a pitch diameter of " + shown(rope.pitch_mm) +
              " mm, goes back to " + shown(foot_high) +
              " mm behind the rail, where the guide post's base plate begins at " + shown(room) +
              " mm: "},
         {{"a guide channel at least ", " mm deep (/guides/channel_depth_mm)", setChannelDepth,
           std::floor(spec.guides.channel_depth_mm), kDeepestChannelMm, 1},
          {"a base plate at most ", " mm before its post (/hardware/post/plate_front_mm)",
           setPlateFront, std::ceil(spec.hardware.post.plate_front_mm), kThinnestEdgeMm, 1},
          {"anchor holes of at most ", " mm in the foot (/hardware/bracket/foot_hole_mm)",
           setFootHole, std::ceil(bracket.foot_hole_mm), kThinnestEdgeMm, 1},
          {"wheels at most ", " mm wide (/hardware/wheel/width_mm)", setWheelWidth,
           std::ceil(spec.hardware.wheel.width_mm), kNarrowestWheelMm, 1},
          {"pulleys of a pitch diameter of at most ", " mm (/ropes/pulley_pitch_mm)", setPitch,
           std::ceil(rope.pitch_mm), kLeastPitchMm, 1}},
         "a guide channel at least " + shown(spec.guides.channel_depth_mm + std::ceil(over)) +
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
             " mm under a rail " + shown(layout.stack.frame_depth_mm) +
             " mm deep, or a rail and its panel at least " +
             shown(layout.stack.frame_depth_mm + std::ceil(2 * (half - room))) + " mm deep"});
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

/// The anchors of the ground bracket's foot, half under the rail: rail and axles pass over them.
void checkFootUnderRail(const GateSpec& spec, const Layout& layout,
                        std::vector<ProblemToCure>& problems) {
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
    problems.push_back(
        {{"/hardware/bracket/foot_mm",
          "the anchors of a ground bracket's foot of " + shown(bracket.foot_mm) + " mm reach " +
              shown(bracket.foot_mm + anchor_up) + " mm up, under a rail that runs " +
              shown(under) + " mm above the footing: "},
         lowerFoot(spec),
         "at most " + shown(room) + " mm"});
  }
  const WheelHardware& wheel = shelf.wheel;
  const double ring_room =
      under + wheel.axle_up_mm - hw::kHardwareClearanceMm - anchor_up - bracket.foot_mm;
  if (wheel.mount == WheelMount::kRail && near < wheel.axle_projection_mm &&
      wheel.axle_head_mm / 2 > ring_room + kLengthEqualMm) {
    std::vector<FigureToTry> tries = lowerFoot(spec);
    tries.insert(tries.begin(), {"rings of at most ", " mm (/hardware/wheel/axle_head_mm)",
                                 setAxleHead, std::ceil(wheel.axle_head_mm), kThinnestEdgeMm, 1});
    tries.back() = {"axles at least ", " mm up (/hardware/wheel/axle_up_mm)",
                    setWheelAxleUp,    std::floor(wheel.axle_up_mm),
                    kHighestAxleMm,    1};
    problems.push_back({{"/hardware/wheel/axle_head_mm",
                         "rings of " + shown(wheel.axle_head_mm) +
                             " mm on the axles run into the anchors of the ground bracket's foot, "
                             "which reach " +
                             shown(bracket.foot_mm + anchor_up) + " mm up: "},
                        std::move(tries),
                        "at most " + shown(2 * ring_room) + " mm"});
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
             "brackets and axle ends " + shown(std::ceil(2 * over) / 2) +
             " mm further out (/hardware/bracket/face_gap_mm, "
             "/hardware/wheel/axle_projection_mm), or a rail and its panel " +
             shown(layout.stack.frame_depth_mm + std::ceil(2 * over)) +
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

/// The anchor of an end stop's foot, which lies under its panel's end: rail and buffer are over it.
void checkStopAnchors(const GateSpec& spec, const Layout& layout,
                      std::vector<LayoutProblem>& problems) {
  const StopHardware& stop = spec.hardware.stop;
  const ThreadClass& anchor = threadThrough(stop.foot_hole_mm);
  const double anchor_up =
      anchor.washer_thickness_mm + anchor.nut_mm + kBeyondNutPerThread * anchor.thread_mm;
  const double under = undersideOverFootingMm(spec.hardware);
  const double hole = (stop.foot_mm - stop.thickness_mm) / 2;  // before the upright
  double room = std::numeric_limits<double>::infinity();
  bool is_rail = false;
  for (const PanelLayout& panel : layout.panels) {
    const EndBuffer buffer = endBuffer(spec, layout, panel.number);
    const double rail_end = buffer.thickness_mm + stop.gap_mm;
    is_rail = is_rail || hole + anchor.washer_mm / 2 > rail_end - hw::kHardwareClearanceMm;
    room = std::min(
        room, under - hw::kHardwareClearanceMm + (is_rail ? 0 : std::max(0.0, buffer.low_up_mm)));
  }
  const double up = stop.thickness_mm + anchor_up;
  if (up <= room + kLengthEqualMm) {
    return;
  }
  std::string holes;
  for (const ThreadClass& thread : threadClasses()) {
    const double reach =
        thread.washer_thickness_mm + thread.nut_mm + kBeyondNutPerThread * thread.thread_mm;
    if (stop.thickness_mm + reach <= room) {
      holes = shown(thread.hole_mm);
    }
  }
  const double most = room - anchor_up;
  std::string would_do = most >= kThinnestEdgeMm ? "at most " + shown(most) + " mm" : "";
  if (!holes.empty()) {
    would_do += (would_do.empty() ? "" : ", or ") + std::string("holes of at most ") + holes +
                " mm (/hardware/stop/foot_hole_mm)";
  }
  problems.push_back(
      {"/hardware/stop/thickness_mm",
       "the anchor M" + shown(anchor.thread_mm) + " of an end stop's foot, in plate of " +
           shown(stop.thickness_mm) + " mm, reaches " + shown(up) + " mm up, where the " +
           (is_rail ? "rail's end" : "buffer") + " passes over it " +
           shown(room + hw::kHardwareClearanceMm) + " mm above the footing: " +
           (would_do.empty() ? "wheels' axles at most " +
                                   shown(std::floor(spec.hardware.wheel.axle_up_mm - up + room)) +
                                   " mm up (/hardware/wheel/axle_up_mm)"
                             : would_do)});
}

/// Anchors of base plates beside each other: p1 and p2 of EN 1993-1-8, table 3.3.
void checkAnchorRows(const GateSpec& spec, const Layout& layout,
                     std::vector<LayoutProblem>& problems) {
  const auto check = [&](const PostPlate& plate, const std::string& post, const char* hole) {
    const double least = kLeastPitchPerHole * plate.hole_mm;
    const double apart = std::min(plate.rowsAcrossMm() > 0 ? plate.rowsAcrossMm() : 0,
                                  plate.rowsAlongMm() > 0 ? plate.rowsAlongMm() : 0);
    if (apart < least - kLengthEqualMm) {
      const double narrow = std::min(plate.along_mm, plate.across_mm);
      problems.push_back(
          {hole,
           "holes of " + shown(plate.hole_mm) + " mm stand " + shown(apart) + " mm apart in the " +
               post + " post's base plate, " + shown(plate.along_mm) + "x" +
               shown(plate.across_mm) + ": at most " +
               shown(std::floor(10 * narrow / (2 * kLeastEdgePerHole + kLeastPitchPerHole)) / 10) +
               " mm"});
    }
  };
  if (const auto guide = guidePostPlate(spec, layout)) {
    check(*guide, "guide", "/hardware/post/plate_hole_mm");
  }
  check(catchPostPlate(spec, layout), "catch", "/hardware/stop/catch_hole_mm");
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
  checkKeepersOverGround(spec, layout, problems);
  checkTrackWidth(spec, layout, problems);
  checkKeepersBesideTrack(spec, layout, problems);
  checkEndStops(spec, layout, problems);
  checkStopAnchors(spec, layout, problems);
  checkAnchorRows(spec, layout, problems);
  checkLatchFoot(spec, layout, problems);
}

std::vector<ProblemToCure> footProblems(const GateSpec& spec, const Layout& layout) {
  std::vector<ProblemToCure> problems;
  checkFootBesidePost(spec, layout, problems);
  checkFootUnderRail(spec, layout, problems);
  return problems;
}

}  // namespace leafstack
