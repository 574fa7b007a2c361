// How far tracks and footing reach.
#pragma once

#include <array>
#include <vector>

#include "generator/layout/figures/layout_types.h"

namespace leafstack {

/// X from a panel's leading end to the bracket it carries of the ropes before it: midway between
/// where their pulleys turn back.
inline double rearBracketInsetMm(const PanelLayout& panel) {
  return (panel.overlap_mm - panel.stagger_mm) / 2;
}

/// Along the rail, a wheel's axle from its panel's end: clear of the pulley and the rope bracket at
/// the same end.
double wheelInsetMm(const GateSpec& spec, const Layout& layout);
/// The track goes on this far past the wheel at either end of the travel.
inline constexpr double kTrackPastWheelMm = 100;

/// A track bar: X of its ends, and its length along the ground.
struct TrackEnds {
  double from_x_mm = 0, to_x_mm = 0, length_mm = 0;
};
TrackEnds trackEnds(const GateSpec& spec, const Layout& layout, int panel);
/// The lengths that it is laid in, from its start: as few equal ones as the longest bar allows.
std::vector<TrackEnds> trackPieces(const GateSpec& spec, const Layout& layout, int panel);
/// The same of the flat under an angle: its joints are midway between the angle's.
std::vector<TrackEnds> flatPieces(const GateSpec& spec, const Layout& layout, int panel);

/// X of the dowels that hold a panel's track, in order: off both ends of every piece, and evenly
/// between.
std::vector<double> trackDowels(const GateSpec& spec, const Layout& layout, int panel);
/// Their length in the footing.
double trackDowelLengthMm(const GateSpec& spec);
/// Of their holes in it, with room for the bond and for what a track is laid off by.
double trackDowelHoleMm(const GateSpec& spec);

/// The weld of one dowel on its track. Under a bar or a flat it goes all round. Between the legs of
/// an angle its end touches both at a point, and metal is laid to either side of these as far as
/// the gap is one that a fillet bridges: 2 mm (as wide as EN ISO 5817 C lets a gap of these legs
/// be, about; from memory).
struct DowelWeld {
  int pieces = 1;
  double each_mm = 0;
  double track_mm = 0;  ///< thickness of what it is welded to
  double apart_mm = 0;  ///< of two pieces' middles, across the track
};
DowelWeld dowelWeld(const TrackHardware& track, double dowel_mm);

/// Anchors of the motor's base, X and Y. Where the shelf does not say how its feet are drilled,
/// what most do: on the middle lines of its packers, 30 from its ends.
std::vector<std::array<double, 2>> motorAnchors(const GateSpec& spec, const Layout& layout);
bool areMotorFeetKnown(const HardwareSpec& shelf);
/// Across the motor's body: from its near face to the anchors of either row.
std::array<double, 2> motorAnchorRows(const HardwareSpec& shelf);

struct FootingExtent {
  double from_x_mm = 0, to_x_mm = 0, from_y_mm = 0, to_y_mm = 0;
};
FootingExtent footingExtent(const GateSpec& spec, const Layout& layout);

}  // namespace leafstack
