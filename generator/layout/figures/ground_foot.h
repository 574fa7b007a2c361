// The ground bracket's foot: how far it reaches across the track.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/geometry/range.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/keepers.h"
#include "params/catalogue/catalogue.h"
#include "params/catalogue/holes.h"

namespace leafstack {

/// An anchor's stud beyond its nut: two or three threads. Common practice, no source.
inline constexpr double kBeyondNutPerThread = 0.4;

/// Half of what the track covers of the footing.
inline double trackHalfWidthMm(const TrackHardware& track) {
  const double legs = track.size_mm / std::numbers::sqrt2;
  return track.kind == TrackKind::kRound ? track.size_mm / 2
         : track.hasFlat()               ? std::max(legs, trackFlatWidth_mm(track) / 2)
                                         : legs;
}

/// From the rear face of panel 1, backwards: under the rail up to wheel and track keepers, clear of
/// a track that is wider; behind, as deep as its bracket, and where those take the room, as its
/// holes with their edges and washers need: that in whole millimetres.
inline Range groundFootMm(const GateSpec& spec, double rail_depth_mm, double bracket_depth_mm) {
  const HardwareSpec& shelf = spec.hardware;
  const double half = rail_depth_mm / 2;
  Range foot;
  foot.low = std::max(shelf.wheel.width_mm / 2 + hardware::kFootFromWheelMm,
                      trackKeepers(spec).outer_half_mm + hardware::kFootFromKeeperMm) -
             half;
  // Its bracket stands further off where it is coated.
  foot.high = shelf.bracket.face_gap_mm + std::ceil(2 * spec.shop.coatMm()) + bracket_depth_mm;
  const double off_track = trackHalfWidthMm(shelf.track) + hardware::kHardwareClearanceMm - half;
  foot.low = std::max(foot.low, off_track);
  const double edge = leastHoleEdge_mm(shelf.bracket.foot_hole_mm);
  foot.high = std::max(foot.high, foot.low + std::ceil(2 * edge));
  // Its holes are half-way: their washers keep clear of the keepers that pass.
  const double least_middle = trackKeepers(spec).outer_half_mm + hardware::kHardwareClearanceMm +
                              threadThrough(shelf.bracket.foot_hole_mm).washer_mm / 2 - half;
  foot.high = std::max(foot.high, 2 * least_middle - foot.low);
  return foot;
}

}  // namespace leafstack
