#include "generator/layout/ground/ground.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/ground/survey.h"
#include "generator/layout/travel/panel_travel.h"

namespace leafstack {
namespace {

namespace hw = hardware;

// Wheel centre above the footing, square to it.
double wheelOverFootingMm(const HardwareSpec& shelf) {
  return trackHeightMm(shelf.track) + shelf.wheel.running_mm / 2;
}
// Positions at which surveyed ground is looked at where only a design value hangs on it; the clash
// check proves what comes of it.
constexpr int kPositions = 240;
// Common practice, no source: room to work in beside the parked stack.
constexpr double kWorkingSpaceMm = 600;
// The footing's rear strip begins this far behind panel 1: behind the ground bracket's foot, or,
// without ropes, before the pinion, which then hangs lower.
constexpr double kRearStripMm = 30, kRearStripAloneMm = 15;

double trackYMm(const Layout& layout, int panel) {
  return layout.panel(panel).front_y_mm + layout.stack.frame_depth_mm / 2;
}

double frameEndMm(const PanelLayout& panel) {
  return panel.leading_closed_mm + panel.frame_length_mm;
}

/// How much higher than the front track a panel's track lies.
double crossRiseMm(const Layout& layout, int panel) {
  return layout.ground.cross_grade * (trackYMm(layout, panel) - layout.ground.front_track_y_mm);
}

/// Driveway under a panel's track.
double groundUnder(const Layout& layout, int panel, double x) {
  return layout.ground.lineOf(panel).heightMm(x) + crossRiseMm(layout, panel);
}

/// Plumb height of the footing above the driveway; below it where clearance is small.
double footingOverGround(const GateSpec& spec) {
  return (spec.gate.ground_clearance_mm - undersideOverFootingMm(spec.hardware)) /
         alongCosine(spec.site);
}

void rideEvenGround(const GateSpec& spec, Layout& layout) {
  const double grade = spec.site.grade;
  static const Travels kLevel = levelTravels({0, 1, 2, 3, 4});  // as ropes anchored one behind go
  for (PanelLayout& panel : layout.panels) {
    panel.grade = grade;
    panel.underside_z_mm = groundUnder(layout, panel.number, panel.leading_closed_mm) +
                           spec.gate.ground_clearance_mm / alongCosine(spec.site);
    panel.least_ground_mm = spec.gate.ground_clearance_mm;
    const bool is_usual = grade == 0 && panel.speed_ratio == panel.number;
    layout.ground.travels.push_back(
        is_usual ? kLevel[panel.number]
                 : std::make_shared<StraightTravel>(panel.speed_ratio, panel.speed_ratio * grade));
  }
}

/// Two wheels of one panel, closed.
struct Wheels {
  double leading_x_mm = 0, trailing_x_mm = 0, base_mm = 0, grade = 0;
};

/// Axles stand the same way along the rail from either end; how steep that is depends on where they
/// stand, so the rake is found in a few rounds.
Wheels wheelsOn(const WheelPath& path, const PanelLayout& panel, double inset_mm) {
  constexpr int kRounds = 30;
  Wheels wheels;
  double cosine = 1;
  for (int round = 0; round < kRounds; ++round) {
    wheels.leading_x_mm = panel.leading_closed_mm + inset_mm * cosine;
    wheels.trailing_x_mm = panel.trailing_closed_mm - inset_mm * cosine;
    const double run = wheels.trailing_x_mm - wheels.leading_x_mm;
    const double rise =
        path.centreHeightMm(wheels.trailing_x_mm) - path.centreHeightMm(wheels.leading_x_mm);
    wheels.grade = rise / run;
    wheels.base_mm = std::hypot(run, rise);
    cosine = run / wheels.base_mm;
  }
  return wheels;
}

void rideSurvey(const GateSpec& spec, Layout& layout) {
  for (PanelLayout& panel : layout.panels) {
    const double rise = footingOverGround(spec) + crossRiseMm(layout, panel.number);
    const WheelPath path(layout.ground.lineOf(panel.number).raised(rise),
                         wheelOverFootingMm(spec.hardware));
    const Wheels wheels = wheelsOn(path, panel, wheelInsetMm(spec, layout));
    panel.grade = wheels.grade;
    panel.underside_z_mm = path.centreHeightMm(wheels.leading_x_mm) -
                           spec.hardware.wheel.axle_up_mm / panel.cosine() +
                           wheels.grade * (panel.leading_closed_mm - wheels.leading_x_mm);
    PanelOnWheels on_wheels{wheels.leading_x_mm, wheels.base_mm, panel.speed_ratio};
    const auto& all_ahead = layout.ground.ahead;
    if (!all_ahead.empty() && !all_ahead[panel.number - 1].isStraight()) {
      on_wheels.ahead = all_ahead[panel.number - 1];
    }
    const auto ride = std::make_shared<PanelTravel>(path, on_wheels);
    for (int i = 0; i <= kPositions; ++i) {
      const Pose pose = ride->at(layout.drive_travel_mm * i / kPositions);
      panel.most_lean_deg =
          std::max(panel.most_lean_deg, std::abs(std::asin(pose.sin)) * kDegreesPerRadian);
    }
    layout.ground.travels.push_back(ride);
  }
}

void findLeastClearance(Layout& layout) {
  GroundLayout& ground = layout.ground;
  ground.least_clearance_mm = std::numeric_limits<double>::infinity();
  for (PanelLayout& panel : layout.panels) {
    GroundClearance least{panel.least_ground_mm, 0, panel.leading_closed_mm};
    panel.least_ground_x_mm = least.x_mm;
    if (ground.is_surveyed) {
      const double rise = crossRiseMm(layout, panel.number);
      least = leastGroundClearance(
          *ground.travels[panel.number], ground.lineOf(panel.number),
          {panel.leading_closed_mm, panel.underside_z_mm - rise, panel.trailing_closed_mm,
           panel.undersideZ(panel.trailing_closed_mm) - rise},
          layout.drive_travel_mm);
      least.clearance_mm *= panel.cosine();  // square to the rail
      panel.least_ground_mm = least.clearance_mm;
      panel.least_ground_at_mm = least.drive_mm;
      panel.least_ground_x_mm = least.x_mm;
    }
    if (least.clearance_mm < ground.least_clearance_mm) {
      ground.least_clearance_mm = least.clearance_mm;
      ground.least_clearance_at_mm = least.drive_mm;
      ground.least_clearance_x_mm = least.x_mm;
      ground.least_clearance_panel = panel.number;
    }
  }
}

}  // namespace

double alongCosine(const SiteSpec& site) {
  return site.track_survey_mm.empty() ? 1 / std::sqrt(1 + site.grade * site.grade) : 1;
}

void layOutGround(const GateSpec& spec, Layout& layout) {
  GroundLayout& ground = layout.ground;
  ground.is_surveyed = !spec.site.track_survey_mm.empty();
  const int count = layout.panel_count;
  if (ground.is_surveyed || spec.site.grade != 0) {
    ground.line = groundLineOf(spec.site, count, count);
  }
  for (int k = 1; k <= count && count > 1 && spec.site.track_survey_mm.size() > 1; ++k) {
    ground.track_lines.push_back(groundLineOf(spec.site, k, count));
  }
  if (ground.is_surveyed && spec.site.track_laying == TrackLaying::kStraight) {
    layStraight(spec, layout);
  }
  ground.track_apart_mm = layout.stack.frame_depth_mm + layout.stack.gap_mm;
  findTrackRises(layout);
  ground.cross_grade = spec.site.cross_grade;
  ground.front_track_y_mm = trackYMm(layout, layout.panel_count);
  ground.rear_strip_y_mm = layout.panel(1).front_y_mm + layout.stack.frame_depth_mm +
                           (layout.panel_count > 1 ? kRearStripMm : kRearStripAloneMm);
  const double motor_y = layout.panel(1).front_y_mm + layout.stack.frame_depth_mm +
                         layout.stack.drive_out_mm + spec.hardware.motor.offset_mm +
                         spec.hardware.motor.depth_mm / 2;
  ground.rear_strip_z_mm = ground.cross_grade * (motor_y - ground.front_track_y_mm);
  static const std::shared_ptr<const BodyTravel> kStands = std::make_shared<StraightTravel>(0, 0);
  ground.travels.reserve(2 * layout.panels.size() + 1);
  ground.travels.push_back(kStands);
  for (int k = 1; k <= (ground.track_lines.empty() ? 1 : count) && ground.is_surveyed; ++k) {
    judgeLine(spec, layout, k, wheelOverFootingMm(spec.hardware), ground.problems);
  }
  ground.is_surveyed = ground.is_surveyed && ground.problems.empty();
  if (ground.is_surveyed) {
    rideSurvey(spec, layout);
  } else {
    rideEvenGround(spec, layout);
  }
  findLeastClearance(layout);
}

void layOutTops(const GateSpec& spec, Layout& layout) {
  const double height = spec.gate.height_mm;
  const GroundLayout& ground = layout.ground;
  const auto highestUnder = [&](const PanelLayout& panel) {
    return ground.lineOf(panel.number).heightRange(panel.leading_closed_mm, frameEndMm(panel)).high;
  };
  double highest = -std::numeric_limits<double>::infinity();
  double stepped = highest;
  for (const PanelLayout& panel : layout.panels) {
    highest = std::max(highest, highestUnder(panel));
    stepped = std::max(stepped, highestUnder(panel) - spec.site.grade * panel.leading_closed_mm);
  }
  for (PanelLayout& panel : layout.panels) {
    const double cross = crossRiseMm(layout, panel.number);
    switch (spec.gate.top) {
      case TopShape::kRaked:
        panel.top_grade = panel.grade;
        panel.top_z_mm = ground.is_surveyed
                             ? panel.underside_z_mm + height - spec.gate.ground_clearance_mm
                             : groundUnder(layout, panel.number, panel.leading_closed_mm) + height;
        break;
      case TopShape::kLevel:
        panel.top_z_mm = highest + cross + height;
        break;
      case TopShape::kStepped:
        panel.top_z_mm = cross + height +
                         (ground.is_surveyed ? highestUnder(panel)
                                             : stepped + spec.site.grade * panel.leading_closed_mm);
        break;
    }
  }
}

void findSurveyEffects(Layout& layout) {
  GroundLayout& ground = layout.ground;
  if (!ground.is_surveyed) {
    return;
  }
  const double rack = undersideAt(layout, 1, layout.pinion_mm, 0);
  for (int i = 0; i <= kPositions; ++i) {
    const double drive = layout.drive_travel_mm * i / kPositions;
    const double rise = undersideAt(layout, 1, layout.pinion_mm, drive) - rack;
    ground.rack_rise_mm = {std::min(ground.rack_rise_mm.low, rise),
                           std::max(ground.rack_rise_mm.high, rise)};
  }
}

PocketLayout pocketOf(const GateSpec& spec, const Layout& layout) {
  constexpr double kMm2PerM2 = 1e6;
  PocketLayout pocket;
  pocket.room_mm = layout.room_total_mm;
  const double stack = layout.panel(1).front_y_mm + layout.stack.frame_depth_mm;
  pocket.width_mm = spec.site.pocket_width_mm.value_or(stack + kWorkingSpaceMm);
  const double depth = spec.site.bank * layout.room_total_mm;
  pocket.section_m2 = depth * layout.room_total_mm / 2 / kMm2PerM2;
  pocket.volume_m3 = pocket.section_m2 * pocket.width_mm / 1000;
  pocket.end_face_m2 = depth * pocket.width_mm / kMm2PerM2;
  pocket.side_face_m2 = pocket.section_m2;
  return pocket;
}

double undersideAt(const Layout& layout, int panel, double x_mm, double drive_mm) {
  const PanelLayout& row = layout.panel(panel);
  const Pose pose = layout.ground.travels[panel]->at(drive_mm);
  const auto start = carried(pose, {row.leading_closed_mm, 0, row.underside_z_mm});
  const auto end =
      carried(pose, {row.trailing_closed_mm, 0, row.undersideZ(row.trailing_closed_mm)});
  return start[2] + (end[2] - start[2]) / (end[0] - start[0]) * (x_mm - start[0]);
}

BracketOffRope bracketOffRope(const Layout& layout, int carrier, int of,
                              const std::array<double, 2>& at_mm) {
  if (!layout.ground.is_surveyed) {
    return {};
  }
  const PanelLayout& panel = layout.panel(carrier);
  const double cosine = panel.cosine();
  const double sine = panel.grade * cosine;
  const double inset = layout.pulley_inset_mm;
  const double first = inset;
  const double last = panel.length_mm / cosine - inset;
  const double closed_turn =
      std::atan(of > 0 ? layout.panel(of).grade : layout.ground.lineOf(1).slope(at_mm[0])) -
      std::atan(panel.grade);
  std::vector<std::array<double, 2>> seen;  // rise, and length of the shorter strand
  struct End {
    double to_first_mm = 0, to_last_mm = 0, turn_rad = 0;
  };
  std::vector<End> ends;
  for (int i = 0; i <= kPositions; ++i) {
    const double drive = layout.drive_travel_mm * i / kPositions;
    const Pose pose = combined(inverse(layout.ground.travels[carrier]->at(drive)),
                               layout.ground.travels[of]->at(drive));
    const auto there = carried(pose, {at_mm[0], 0, at_mm[1]});
    const double along = (there[0] - panel.leading_closed_mm) / cosine;
    const double rise = -sine * (there[0] - at_mm[0]) + cosine * (there[2] - at_mm[1]);
    seen.push_back({rise, std::max(1.0, std::min(along - first, last - along))});
    ends.push_back({std::max(1.0, along - first), std::max(1.0, last - along),
                    closed_turn + std::atan2(pose.sin, pose.cos)});
  }
  const auto steepestAt = [&](double offset) {
    double steepest = 0;
    for (const auto& [rise, strand] : seen) {
      steepest = std::max(steepest, std::abs(rise + offset) / strand);
    }
    return steepest;
  };
  // The steepest lean is a convex function of the offset.
  double low = 0;
  double high = 0;
  for (const auto& [rise, strand] : seen) {
    low = std::min(low, -rise);
    high = std::max(high, -rise);
  }
  constexpr int kRounds = 60;
  for (int round = 0; round < kRounds; ++round) {
    const double third = (high - low) / 3;
    if (steepestAt(low + third) < steepestAt(high - third)) {
      high -= third;
    } else {
      low += third;
    }
  }
  BracketOffRope ride;
  ride.offset_mm = (low + high) / 2;
  ride.steepest = steepestAt(ride.offset_mm);
  for (const auto& [rise, strand] : seen) {
    ride.most_mm = std::max(ride.most_mm, std::abs(rise + ride.offset_mm));
  }
  for (std::size_t i = 0; i < ends.size(); ++i) {
    const double off = seen[i][0] + ride.offset_mm;
    for (const double slope : {off / ends[i].to_first_mm, -off / ends[i].to_last_mm}) {
      ride.swivel_rad = std::max(ride.swivel_rad, std::abs(std::atan(slope) - ends[i].turn_rad));
    }
  }
  return ride;
}

double acrossMm(const GateSpec& spec, const Layout& layout) {
  double most =
      std::abs(spec.site.cross_grade) * layout.ground.track_apart_mm * alongCosine(spec.site);
  if (layout.ground.track_lines.empty()) {
    return most;
  }
  for (int k = 1; k < layout.panel_count; ++k) {
    const PanelLayout& carrier = layout.panel(k);
    const PanelLayout& ahead = layout.panel(k + 1);
    for (const double x : {ahead.trailing_closed_mm, carrier.leading_closed_mm}) {
      most = std::max(most, std::abs(carrier.undersideZ(x) - ahead.undersideZ(x)));
    }
  }
  return most;
}

double highestTopOver(const Layout& layout, double from_mm, double to_mm) {
  double highest = -std::numeric_limits<double>::infinity();
  for (const PanelLayout& panel : layout.panels) {
    const double end = panel.leading_closed_mm + panel.frame_length_mm;
    for (int i = 0; i <= kPositions; ++i) {
      const Pose pose =
          layout.ground.travels[panel.number]->at(layout.drive_travel_mm * i / kPositions);
      const auto a = carried(pose, {panel.leading_closed_mm, 0, panel.top_z_mm});
      const auto b = carried(pose, {end, 0, panel.topZ(end)});
      const double low = std::max(from_mm, a[0]);
      const double high = std::min(to_mm, b[0]);
      // One step further either way: the ends of the travel over it lie between two positions.
      const double step = std::abs(panel.travel_mm) / kPositions;
      if (low > high + step) {
        continue;
      }
      for (double x : {low, high}) {
        highest = std::max(highest, a[2] + (b[2] - a[2]) / (b[0] - a[0]) * (x - a[0]));
      }
    }
  }
  return highest;
}

double overheadXMm(const GateSpec& spec, const Layout& layout) {
  const double half = spec.hardware.post.overhead_mm / 2;
  const double low = layout.opening_mm + half;
  const double high = layout.opening_mm + spec.site.fence_post_mm - half;
  return layout.guide_mm >= low && layout.guide_mm <= high
             ? layout.guide_mm
             : layout.opening_mm + spec.site.fence_post_mm / 2;
}

double overheadLowZ(const Layout& layout, const GateSpec& spec, double post_x_mm) {
  const double half = spec.hardware.post.overhead_mm / 2;
  const bool is_level = !layout.ground.is_surveyed && spec.site.grade == 0;
  double highest = -std::numeric_limits<double>::infinity();
  if (is_level) {
    for (const PanelLayout& panel : layout.panels) {
      highest = std::max(highest, panel.top_z_mm);
    }
  } else {
    // Reach and header: the channel stands before the header.
    highest = highestTopOver(layout, std::min(post_x_mm, layout.guide_mm) - half,
                             std::max(post_x_mm, layout.guide_mm) + half);
  }
  return highest + hw::kOverheadGapMm;
}

double overheadHiddenByMm(const GateSpec& spec, const Layout& layout) {
  const double x = overheadXMm(spec, layout);
  return overheadLowZ(layout, spec, x) + spec.hardware.post.overhead_mm -
         layout.ground.heightMm(x, 0);
}

double footingZ(const GateSpec& spec, const Layout& layout, int strip, double x_mm) {
  const double rise =
      strip == kRearStrip ? layout.ground.rear_strip_z_mm : crossRiseMm(layout, strip);
  return layout.ground.lineOf(strip).heightMm(x_mm) + footingOverGround(spec) + rise;
}

MotorPacking motorPacking(const GateSpec& spec, const Layout& layout) {
  const double half = spec.drive.motor.length_mm / 2;
  const double base =
      pinionZ(layout) - spec.hardware.motor.pinion_up_mm - layout.heights.motor_raise_mm;
  const auto under = [&](double x) { return base - footingZ(spec, layout, kRearStrip, x); };
  return {under(layout.pinion_mm - half), under(layout.pinion_mm + half)};
}

double pinionZ(const Layout& layout) {
  const PanelLayout& panel = layout.panel(1);
  const double up = layout.heights.rack_lower_up_mm + layout.hardware.rack.module_mm -
                    pinionPitchRadiusMm(layout.hardware);
  // The lowest of the positions looked at, and a little lower between them.
  constexpr double kBetweenPositionsMm = 0.01;
  const Range& rise = layout.ground.rack_rise_mm;
  if (!layout.ground.rack_up_mm.empty()) {
    return panel.undersideZ(layout.pinion_mm) +
           (up + layout.ground.rack_pinion_up_mm) / panel.cosine() - kBetweenPositionsMm;
  }
  // What rises by less is off by less between them, too.
  const double lower = std::min(kBetweenPositionsMm, rise.high - rise.low);
  return panel.undersideZ(layout.pinion_mm) + up / panel.cosine() + rise.low - lower;
}

}  // namespace leafstack
