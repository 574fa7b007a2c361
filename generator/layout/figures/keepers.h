// What keeps a panel on its track: plates beside the track, under the bottom rail, inboard of each
// wheel, where a bar or the flat under an angle is upright; and on every guide channel a lug over
// either end of the block's way, under which the guide rail runs. A groove alone lets go at a
// sideways force of about its wheel's weight; the plates hold whatever the force, as long as the
// panel is not lifted out of them. mm throughout.
//
// A lug limits how far a panel lifts at its guide block, against the panel behind; the first one's
// is fixed to the ground. A panel that is tipped about one wheel lifts further at its other end.
#pragma once

#include <optional>

#include "generator/geometry/range.h"
#include "generator/layout/figures/layout_types.h"

namespace leafstack {

namespace hardware {
inline constexpr double kKeeperOffWheelMm = 10;  ///< wheel's pocket or plate: room for the weld
inline constexpr double kLugOffNeckMm = 2;  ///< beside the block's neck, beyond its running gap
/// A panel at its highest still stands so far between its keepers: common practice, no source.
inline constexpr double kStillHeldMm = 1;
}  // namespace hardware

/// Track keepers, alike at every wheel. Heights are over the footing, square to it.
struct TrackKeepers {
  double low_mm = 0;         ///< of the plates
  double height_mm = 0;      ///< of a plate, up to the bottom rail's underside or its saddle's
  double inner_half_mm = 0;  ///< half of what is between the two
  double outer_half_mm = 0;
  /// Thickness of the plate across the rail that both are welded under where the rail's flat is too
  /// narrow for them; 0: they are welded to the rail.
  double saddle_mm = 0;
  /// Surveyed ground falls so far below the line of a panel's wheels where a keeper is.
  double dip_mm = 0;
  /// A wheel that is pushed aside rises so far until the plates meet the track; none where it is
  /// out of its groove before.
  std::optional<double> climb_mm;
  /// Lifted by more the plates let go, somewhere on the way: their lower edges are level with where
  /// the track's flanks lean by 45 degrees (of a bar) or end (of an angle's flat, at its top; of an
  /// angle alone, at its heel).
  double lets_go_mm = 0;

  /// How far the panel shifts aside, either way, when it is lifted by `lift_mm` (0 to lets_go_mm).
  double sidePlayMm(const TrackHardware& track, double lift_mm) const;
};
TrackKeepers trackKeepers(const GateSpec& spec);

/// From where the track bears on a plate, its wheel having climbed, up to the rail: the lever of
/// what presses on it.
double keeperLeverMm(const GateSpec& spec);

/// From a panel's end, along its rail, to the middle of the keeper of the wheel there.
double keeperInsetMm(const HardwareSpec& shelf, double wheel_inset_mm);

/// The lugs of one guide channel; heights along the guide's axis from its rail's middle when
/// closed.
struct LiftKeeper {
  double low_mm = 0, high_mm = 0;
  /// Above the guide rail at its highest and at its lowest place of the travel. Negative: in it.
  double least_play_mm = 0, most_play_mm = 0;
};
LiftKeeper liftKeeper(const HardwareSpec& shelf, const GuideLayout& guide);

/// How far a panel (1 = back) may lift at its guide, its lug's play and those of all behind it
/// taken together, where the blocks stand highest (low) and lowest (high).
Range liftMm(const Layout& layout, int panel);

}  // namespace leafstack
