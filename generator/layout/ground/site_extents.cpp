#include "generator/layout/ground/site_extents.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/ground_foot.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/latch.h"

namespace leafstack {
namespace {

namespace hw = hardware;

constexpr double kFootingPastMm = 100;   // beyond the outermost thing that stands on it
constexpr double kFootingFrontMm = 100;  // before the front track
constexpr double kFootingBehindMm = 60;
constexpr double kFootingOffFenceMm = 5;

/// Length of the ground's line, by chords short enough for a saw.
double lengthAlong(const GroundLine& line, double from, double to) {
  constexpr int kChords = 2000;
  double length = 0;
  double z = line.heightMm(from);
  for (int i = 1; i <= kChords; ++i) {
    const double next = line.heightMm(from + (to - from) * i / kChords);
    length += std::hypot((to - from) / kChords, next - z);
    z = next;
  }
  return length;
}

/// Along the rail, of those that panels carry.
double furthestRearBracketMm(const Layout& layout) {
  double furthest = 0;
  for (int number = 1; number + 1 < layout.panel_count; ++number) {
    const PanelLayout& panel = layout.panel(number);
    furthest = std::max(furthest, rearBracketInsetMm(panel) / panel.cosine());
  }
  return furthest;
}

}  // namespace

double wheelInsetMm(const GateSpec& spec, const Layout& layout) {
  // The track goes on past the wheel and ends before the stop's foot under the panel's end.
  const StopHardware& stop = spec.hardware.stop;
  const double off_stop =
      stop.foot_mm - stop.thickness_mm - stop.gap_mm + kTrackPastWheelMm + hw::kHardwareClearanceMm;
  const double least = std::max(spec.hardware.wheel.inset_mm, off_stop);
  if (layout.panel_count < 2) {
    return least;
  }
  const double rim = pulleyRimMm(spec, layout.pulley_pitch_mm);
  // Pulleys stand at their rope's height, axles lower: on a slope that brings them together.
  const Range slopes = layout.ground.slopeRange(layout.panels.back().leading_closed_mm,
                                                layout.panels.front().trailing_open_mm);
  const double steepest = std::max(std::abs(slopes.low), std::abs(slopes.high));
  const double lean = steepest * (spec.gate.bottom_rail.height_mm - spec.hardware.wheel.axle_up_mm);
  // Rear brackets lie against their panel's face, and so does an axle's head.
  const double beside_bracket =
      furthestRearBracketMm(layout) + spec.hardware.bracket.length_mm / 2 +
      spec.hardware.wheel.axle_head_mm / 2 + hw::kHardwareClearanceMm + lean;
  return std::max({least,
                   layout.pulley_inset_mm + rim + wheelHalfLengthMm(spec.hardware) +
                       2 * hw::kWheelPocketEndGapMm + lean,
                   isOnPlate(spec.hardware) ? 0 : beside_bracket});
}

TrackEnds trackEnds(const GateSpec& spec, const Layout& layout, int panel) {
  const Layout& laid = laidBy(layout);
  const PanelLayout& row = laid.panel(panel);
  const double cosine = row.cosine();
  const double inset = wheelInsetMm(spec, laid);
  TrackEnds ends;
  ends.from_x_mm = row.leading_closed_mm + (inset - kTrackPastWheelMm) * cosine;
  ends.to_x_mm = row.trailing_open_mm - (inset - kTrackPastWheelMm) * cosine;
  ends.length_mm = layout.ground.is_surveyed
                       ? lengthAlong(layout.ground.lineOf(panel), ends.from_x_mm, ends.to_x_mm)
                       : (ends.to_x_mm - ends.from_x_mm) / cosine;
  return ends;
}

std::vector<TrackEnds> trackPieces(const GateSpec& spec, const Layout& layout, int panel) {
  const TrackEnds whole = trackEnds(spec, layout, panel);
  const GroundLine& line = layout.ground.lineOf(panel);
  const double longest = std::max(spec.shop.longestPiece_mm(), 1.0);
  for (int count = static_cast<int>(std::ceil((whole.length_mm - kLengthEqualMm) / longest));;
       ++count) {
    std::vector<TrackEnds> pieces;
    double most = 0;
    const int some = std::max(count, 1);
    const double along = (whole.to_x_mm - whole.from_x_mm) / whole.length_mm;
    const double gap = spec.site.track_gap_mm * along;
    const double each = (whole.to_x_mm - whole.from_x_mm - (some - 1) * gap) / some;
    for (int i = 0; i < some; ++i) {
      const double from = whole.from_x_mm + i * (each + gap);
      TrackEnds piece{from, from + each, each / along};
      if (layout.ground.is_surveyed && count > 1) {
        piece.length_mm = lengthAlong(line, piece.from_x_mm, piece.to_x_mm);
      }
      most = std::max(most, piece.length_mm);
      pieces.push_back(piece);
    }
    if (most <= longest + kLengthEqualMm) {
      return pieces;
    }
  }
}

std::vector<TrackEnds> flatPieces(const GateSpec& spec, const Layout& layout, int panel) {
  const std::vector<TrackEnds> above = trackPieces(spec, layout, panel);
  if (above.size() == 1) {
    return above;
  }
  const GroundLine& line = layout.ground.lineOf(panel);
  std::vector<TrackEnds> pieces;
  double from = above.front().from_x_mm;
  const double gap = above[1].from_x_mm - above[0].to_x_mm;
  for (std::size_t i = 0; i <= above.size(); ++i) {
    const bool is_last = i == above.size();
    const double to =
        is_last ? above.back().to_x_mm : (above[i].from_x_mm + above[i].to_x_mm - gap) / 2;
    TrackEnds piece{from, to, 0};
    const TrackEnds& beside = above[is_last ? i - 1 : i];
    piece.length_mm = layout.ground.is_surveyed
                          ? lengthAlong(line, from, to)
                          : beside.length_mm * (to - from) / (beside.to_x_mm - beside.from_x_mm);
    pieces.push_back(piece);
    from = to + gap;
  }
  return pieces;
}

DowelWeld dowelWeld(const TrackHardware& track, double dowel_mm) {
  constexpr double kBridged_mm = 2;
  if (track.kind != TrackKind::kAngle || track.hasFlat()) {
    return {1, std::numbers::pi * dowel_mm, track.hasFlat() ? track.flat_mm : track.size_mm, 0};
  }
  // At an angle phi off the point the leg has gone up by r (1 - cos phi), and off by that / sqrt 2.
  const double radius = dowel_mm / 2;
  const double phi = std::acos(std::max(0.0, 1 - kBridged_mm * std::numbers::sqrt2 / radius));
  return {2, 2 * phi * radius, track.thickness_mm, 2 * radius * std::sin(phi) / phi};
}

std::vector<double> trackDowels(const GateSpec& spec, const Layout& layout, int panel) {
  constexpr double kOffEndMm = 60;  // of a piece: clear of a site weld. Common practice, no source
  std::vector<double> places;
  for (const TrackEnds& piece : spec.hardware.track.hasFlat() ? flatPieces(spec, layout, panel)
                                                              : trackPieces(spec, layout, panel)) {
    const double inset = std::min(kOffEndMm, (piece.to_x_mm - piece.from_x_mm) / 4);
    const double run = piece.to_x_mm - piece.from_x_mm - 2 * inset;
    const int spans = std::max(1, static_cast<int>(std::ceil(run / spec.site.anchor_apart_mm)));
    for (int i = 0; i <= spans; ++i) {
      places.push_back(piece.from_x_mm + inset + run * i / spans);
    }
  }
  return places;
}

double trackDowelLengthMm(const GateSpec& spec) {
  constexpr double kUnderMm = 30;  // concrete. Common practice, no source
  constexpr double kLeastMm = 20;
  return std::max(kLeastMm, std::min(spec.site.dowel_length_mm,
                                     spec.hardware.post.footing_depth_mm - kUnderMm));
}

double trackDowelHoleMm(const GateSpec& spec) {
  constexpr double kBondMm = 3;  // all round. Common practice, no source
  return spec.site.dowel_mm + 2 * kBondMm;
}

bool areMotorFeetKnown(const HardwareSpec& shelf) {
  return shelf.motor.feet_along_mm > 0 && shelf.motor.feet_across_mm > 0;
}

std::array<double, 2> motorAnchorRows(const HardwareSpec& shelf) {
  const MotorHardware& motor = shelf.motor;
  const double apart =
      areMotorFeetKnown(shelf) ? motor.feet_across_mm : motor.depth_mm - motor.packer_width_mm;
  return {(motor.depth_mm - apart) / 2, (motor.depth_mm + apart) / 2};
}

std::vector<std::array<double, 2>> motorAnchors(const GateSpec& spec, const Layout& layout) {
  constexpr double kFootEndMm = 30;  // common practice, no source
  const MotorHardware& motor = spec.hardware.motor;
  const double along = areMotorFeetKnown(spec.hardware)
                           ? motor.feet_along_mm
                           : spec.drive.motor.length_mm - 2 * kFootEndMm;
  const double near = layout.panel(1).front_y_mm + layout.stack.frame_depth_mm +
                      layout.stack.drive_out_mm + motor.offset_mm;
  std::vector<std::array<double, 2>> places;
  for (const double x : {-along / 2, along / 2}) {
    for (const double y : motorAnchorRows(spec.hardware)) {
      places.push_back({layout.pinion_mm + x, near + y});
    }
  }
  return places;
}

FootingExtent footingExtent(const GateSpec& spec, const Layout& layout) {
  const double depth = layout.stack.frame_depth_mm;
  const PanelLayout& front = layout.panels.back();
  const double track_y = front.front_y_mm + depth / 2;
  FootingExtent extent;
  const Layout& laid = laidBy(layout);
  // As far off the fence as may be, but under all of the track.
  const TrackHardware& track = spec.hardware.track;
  const double under = track.kind == TrackKind::kRound ? track.size_mm : trackHalfWidthMm(track);
  extent.from_y_mm =
      std::max(track_y - kFootingFrontMm, std::min(kFootingOffFenceMm, track_y - under));
  extent.to_y_mm = layout.panel(1).front_y_mm + depth + layout.stack.post_gap_mm +
                   std::max(spec.guides.post_mm, spec.hardware.motor.depth_mm) + kFootingBehindMm;
  extent.from_x_mm = latchOf(spec, laid).plate_from_x_mm - kFootingPastMm;
  extent.to_x_mm = laid.opening_mm + laid.room_mm;
  if (spec.guides.mount == GuideMount::kReachOver) {
    extent.to_x_mm = std::max(extent.to_x_mm, laid.guide_post_mm);
  }
  extent.to_x_mm += kFootingPastMm;
  return extent;
}

}  // namespace leafstack
