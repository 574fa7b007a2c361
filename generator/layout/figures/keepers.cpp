#include "generator/layout/figures/keepers.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <vector>

#include "generator/layout/figures/carrier.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/travel/ground_line.h"

namespace leafstack {
namespace {

namespace hw = hardware;

/// What stands upright at the foot of an angle: its flat's edges, or else only its legs' ends.
struct UprightFoot {
  double half_mm = 0, up_mm = 0;
};
UprightFoot footOf(const TrackHardware& track) {
  return track.hasFlat() ? UprightFoot{trackFlatWidth_mm(track) / 2, track.flat_mm}
                         : UprightFoot{track.size_mm / std::numbers::sqrt2,
                                       track.thickness_mm / std::numbers::sqrt2};
}

/// Half of the track's width where a plate whose edge is at `low_mm` meets it.
double halfTrackAboveMm(const TrackHardware& track, double low_mm) {
  if (track.kind == TrackKind::kRound) {
    const double radius = track.size_mm / 2;
    const double above = std::clamp(low_mm - radius, 0.0, radius);
    return std::sqrt(radius * radius - above * above);
  }
  const UprightFoot foot = footOf(track);
  const double legs = track.size_mm / std::numbers::sqrt2;
  return low_mm <= foot.up_mm ? foot.half_mm : std::clamp(trackHeightMm(track) - low_mm, 0.0, legs);
}

/// The same with the play, which is square to the track's surface.
double innerHalfMm(const TrackHardware& track, double low_mm, double play_mm) {
  if (track.kind == TrackKind::kRound) {
    const double radius = track.size_mm / 2;
    const double above = std::clamp(low_mm - radius, 0.0, radius);
    return std::sqrt((radius + play_mm) * (radius + play_mm) - above * above);
  }
  const UprightFoot foot = footOf(track);
  if (low_mm <= foot.up_mm) {
    return foot.half_mm + play_mm;
  }
  const double on_flank = trackHeightMm(track) - low_mm + play_mm * std::numbers::sqrt2;
  return std::min(track.size_mm / std::numbers::sqrt2 + play_mm, on_flank);
}

/// How much higher (high) than under level rails surveyed ground comes to a keeper up to its far
/// end, inboard of its wheel, and how far it falls below (low, negative) at the middle, so that
/// half of a plate at least is beside its track; the rail runs straight to the next wheel. For
/// panels of about the length that the opening asks for, and shorter ones.
Range groundUnderKeeperMm(const GateSpec& spec, const SurveyLine& survey) {
  std::vector<std::array<double, 2>> points;
  for (const auto& [x, z] : survey) {
    points.push_back({x, z});
  }
  constexpr double kStepMm = 50, kBeyondShareMm = 700;
  const GroundLine line = GroundLine::through(points);
  const double middle = keeperInsetMm(spec.hardware, 0);
  const double far = middle + spec.hardware.keeper.length_mm / 2;
  const double base =
      spec.site.opening_mm / std::max(1, spec.gate.panels.value_or(kMostPanels)) + kBeyondShareMm;
  Range ground{0, 0};
  for (double x = points.front()[0]; x <= points.back()[0]; x += kStepMm) {
    for (const double ahead : {base, -base, base / 2, -base / 2}) {
      const double chord = (line.heightMm(x + ahead) - line.heightMm(x)) / ahead;
      const auto over = [&](double along) {
        const double off = std::copysign(along, ahead);
        return line.heightMm(x + off) - line.heightMm(x) - off * chord;
      };
      ground.high = std::max({ground.high, over(far / 2), over(far)});
      ground.low = std::min(ground.low, over(middle));
    }
  }
  return ground;
}

/// Of all tracks; under straight ones the footing is made good.
Range groundUnderKeepersMm(const GateSpec& spec) {
  Range ground{0, 0};
  if (spec.site.track_laying == TrackLaying::kStraight) {
    return ground;
  }
  for (const SurveyLine& survey : spec.site.track_survey_mm) {
    const Range one = groundUnderKeeperMm(spec, survey);
    ground = {std::min(ground.low, one.low), std::max(ground.high, one.high)};
  }
  return ground;
}

double lowMm(const GateSpec& spec, double ground_mm) {
  const KeeperHardware& keeper = spec.hardware.keeper;
  const TrackHardware& track = spec.hardware.track;
  if (keeper.low_mm) {
    return *keeper.low_mm;
  }
  // On uneven ground as much higher as the ground comes, down to what hardware keeps off anyway.
  const double low =
      std::max(keeperLow_mm(keeper, track), std::ceil(hw::kHardwareClearanceMm + ground_mm));
  if (track.kind == TrackKind::kRound || track.hasFlat()) {
    return low;
  }
  // An angle alone that is wider than the rail lets plates stand apart: beside its flanks.
  const double half = spec.gate.bottom_rail.depth_mm / 2 - keeper.plate_mm;
  const double on_flank = trackHeightMm(track) + keeper.play_mm * std::numbers::sqrt2 - half;
  const bool is_wide = half < footOf(track).half_mm + keeper.play_mm;
  return is_wide ? std::max(low, std::ceil(on_flank)) : low;
}

/// Up to where the track holds a plate, over the footing.
double holdsUpToMm(const TrackHardware& track) {
  constexpr double kLeansBy45 = (1 + std::numbers::sqrt2 / 2) / 2;  // of a bar's height
  return track.kind == TrackKind::kRound ? kLeansBy45 * track.size_mm
         : track.hasFlat()               ? track.flat_mm
                                         : trackHeightMm(track);
}

/// How far a wheel rises until the plates meet the track; none where it is out of its groove
/// before.
std::optional<double> climbMm(const HardwareSpec& shelf) {
  const double play = shelf.keeper.play_mm;
  const double groove = (shelf.wheel.outside_mm - shelf.wheel.running_mm) / 2;
  if (shelf.track.kind == TrackKind::kAngle) {
    return play < groove ? std::optional(play) : std::nullopt;  // on flanks of 45 degrees
  }
  // The groove's lip goes up the bar until the play is used up.
  const double radius = shelf.track.size_mm / 2;
  const double under = radius - std::clamp(groove, 0.0, radius);
  const double lip = std::sqrt(radius * radius - under * under);
  if (play >= lip) {
    return std::nullopt;
  }
  return std::sqrt(radius * radius - (lip - play) * (lip - play)) - under;
}

}  // namespace

TrackKeepers trackKeepers(const GateSpec& spec) {
  const HardwareSpec& shelf = spec.hardware;
  const TrackHardware& track = shelf.track;
  const Range ground = groundUnderKeepersMm(spec);
  TrackKeepers keepers;
  keepers.low_mm = lowMm(spec, ground.high);
  keepers.inner_half_mm = innerHalfMm(track, keepers.low_mm, shelf.keeper.play_mm);
  keepers.outer_half_mm = keepers.inner_half_mm + shelf.keeper.plate_mm;
  // Under a rounded corner a plate has no edge to be welded along: half of it is on the flat.
  const HollowSection& rail = spec.gate.bottom_rail;
  const double on_flat = rail.depth_mm / 2 - cornerRadii(rail).outer_mm - keepers.inner_half_mm;
  keepers.saddle_mm = on_flat < shelf.keeper.plate_mm / 2 ? shelf.keeper.plate_mm : 0;
  keepers.height_mm = undersideOverFootingMm(shelf) - keepers.saddle_mm - keepers.low_mm;
  keepers.dip_mm = -ground.low;
  keepers.climb_mm = climbMm(shelf);
  keepers.lets_go_mm = holdsUpToMm(track) - keepers.low_mm - keepers.dip_mm;
  return keepers;
}

double keeperLeverMm(const GateSpec& spec) {
  const HardwareSpec& shelf = spec.hardware;
  const TrackKeepers keepers = trackKeepers(spec);
  // A bar's widest part, or the upper edge of a flat, over which the plate bends outwards.
  const double bears = shelf.track.kind == TrackKind::kRound ? shelf.track.size_mm / 2
                       : shelf.track.hasFlat()               ? shelf.track.flat_mm
                                                             : 0;
  const double rises = keepers.dip_mm + keepers.climb_mm.value_or(0);
  return std::min(undersideOverFootingMm(shelf) - bears + rises,
                  keepers.height_mm + keepers.saddle_mm);
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

Range liftMm(const Layout& layout, int panel) {
  Range lift{0, 0};
  for (int k = 1; k <= panel; ++k) {
    const LiftKeeper keeper = liftKeeper(layout.hardware, layout.guides.at(k - 1));
    lift.low += keeper.least_play_mm;
    lift.high += keeper.most_play_mm;
  }
  return lift;
}

}  // namespace leafstack
