#include "generator/layout/figures/keepers.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/travel/ground_line.h"

namespace leafstack {
namespace {

namespace hw = hardware;

// Common practice, no source: what a plate keeps off the footing, for grit and a joint's step.
constexpr double kLeastLowMm = 4;

/// An angle's legs, by its heel over Y 0: its outermost corner, and the height of that.
struct LegTip {
  double across_mm = 0, up_mm = 0;
};
LegTip legTip(const TrackHardware& track) {
  const double across = track.size_mm / std::numbers::sqrt2;
  return {across, trackHeightMm(track) - across};
}

/// Half of the track's width where a plate whose edge is at `low_mm` meets it.
double halfTrackAboveMm(const TrackHardware& track, double low_mm) {
  if (track.kind == TrackKind::kRound) {
    const double radius = track.size_mm / 2;
    const double above = std::clamp(low_mm - radius, 0.0, radius);
    return std::sqrt(radius * radius - above * above);
  }
  const LegTip tip = legTip(track);
  return low_mm <= tip.up_mm ? tip.across_mm : std::max(0.0, trackHeightMm(track) - low_mm);
}

/// The same with the play, which is square to the track's surface.
double innerHalfMm(const TrackHardware& track, double low_mm, double play_mm) {
  if (track.kind == TrackKind::kRound) {
    const double radius = track.size_mm / 2;
    const double above = std::clamp(low_mm - radius, 0.0, radius);
    return std::sqrt((radius + play_mm) * (radius + play_mm) - above * above);
  }
  const LegTip tip = legTip(track);
  const double on_flank = trackHeightMm(track) - low_mm + play_mm * std::numbers::sqrt2;
  return std::min(tip.across_mm + play_mm, on_flank);
}

/// How much higher than under level rails surveyed ground comes to a keeper: its far end stands
/// inboard of its wheel, and the rail runs straight to the next one. For panels of about the length
/// that the opening asks for, and shorter ones.
double groundUnderKeeperMm(const GateSpec& spec, const SurveyLine& survey) {
  std::vector<std::array<double, 2>> points;
  for (const auto& [x, z] : survey) {
    points.push_back({x, z});
  }
  constexpr double kStepMm = 50, kBeyondShareMm = 700;
  const GroundLine line = GroundLine::through(points);
  const double far = keeperInsetMm(spec.hardware, 0) + spec.hardware.keeper.length_mm / 2;
  const double base =
      spec.site.opening_mm / std::max(1, spec.gate.panels.value_or(kMostPanels)) + kBeyondShareMm;
  double most = 0;
  for (double x = points.front()[0]; x <= points.back()[0]; x += kStepMm) {
    for (const double ahead : {base, -base, base / 2, -base / 2}) {
      const double chord = (line.heightMm(x + ahead) - line.heightMm(x)) / ahead;
      for (const double share : {0.5, 1.0}) {
        const double off = std::copysign(share * far, ahead);
        most = std::max(most, line.heightMm(x + off) - line.heightMm(x) - off * chord);
      }
    }
  }
  return most;
}

double lowMm(const GateSpec& spec) {
  const KeeperHardware& keeper = spec.hardware.keeper;
  const TrackHardware& track = spec.hardware.track;
  // On uneven ground as much higher as the ground comes, down to what hardware keeps off anyway.
  double ground = 0;
  for (const SurveyLine& line : spec.site.track_survey_mm) {
    ground = std::max(ground, groundUnderKeeperMm(spec, line));
  }
  const double off_ground = hw::kHardwareClearanceMm + ground;
  const double quarter = std::ceil(std::max({kLeastLowMm, trackHeightMm(track) / 4, off_ground}));
  double low = quarter;
  if (track.kind == TrackKind::kAngle) {
    const double half = spec.gate.bottom_rail.depth_mm / 2 - keeper.plate_mm;
    const bool wide = half < legTip(track).across_mm + keeper.play_mm;
    const double on_flank = trackHeightMm(track) + keeper.play_mm * std::numbers::sqrt2 - half;
    low = wide ? std::max(quarter, std::ceil(on_flank)) : quarter;
  }
  return keeper.low_mm.value_or(low);
}

}  // namespace

TrackKeepers trackKeepers(const GateSpec& spec) {
  const HardwareSpec& shelf = spec.hardware;
  const TrackHardware& track = shelf.track;
  TrackKeepers keepers;
  keepers.low_mm = lowMm(spec);
  keepers.height_mm = undersideOverFootingMm(shelf) - keepers.low_mm;
  keepers.inner_half_mm = innerHalfMm(track, keepers.low_mm, shelf.keeper.play_mm);
  keepers.outer_half_mm = keepers.inner_half_mm + shelf.keeper.plate_mm;
  const double holds = track.kind == TrackKind::kRound
                           ? track.size_mm / 2 * (1 + std::numbers::sqrt2 / 2)
                           : trackHeightMm(track);
  keepers.lets_go_mm = holds - keepers.low_mm;
  return keepers;
}

double TrackKeepers::sidePlayMm(const TrackHardware& track, double lift_mm) const {
  return inner_half_mm - halfTrackAboveMm(track, low_mm + lift_mm);
}

double keeperInsetMm(const HardwareSpec& shelf, double wheel_inset_mm) {
  return wheel_inset_mm + wheelHalfLengthMm(shelf) + hw::kWheelPocketEndGapMm +
         hw::kKeeperOffWheelMm + shelf.keeper.length_mm / 2;
}

LiftKeeper liftKeeper(const HardwareSpec& shelf, const GuideLayout& guide) {
  // Aslant past the lugs: under a pivoted block's plumb channel, and on uneven ground.
  const double rail = guide.rail_size_mm / 2 + guide.aslant * guide.channel_width_mm / 2;
  LiftKeeper keeper;
  // A drop given by hand may leave no room for it below the channel's top: the clash check tells.
  keeper.low_mm = std::min(rail + guide.float_mm.high + shelf.keeper.lift_play_mm,
                           guide.channel_high_mm - shelf.keeper.lift_plate_mm);
  keeper.high_mm = keeper.low_mm + shelf.keeper.lift_plate_mm;
  keeper.least_play_mm = keeper.low_mm - rail - guide.float_mm.high;
  keeper.most_play_mm = keeper.low_mm - rail - guide.float_mm.low;
  return keeper;
}

double mostLiftMm(const Layout& layout, int panel) {
  double lift = 0;
  for (int k = 1; k <= panel; ++k) {
    lift += liftKeeper(layout.hardware, layout.guides.at(k - 1)).most_play_mm;
  }
  return lift;
}

}  // namespace leafstack
