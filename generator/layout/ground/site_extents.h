// How far tracks and footing reach.
#pragma once

#include <vector>

#include "generator/layout/figures/layout_types.h"

namespace leafstack {

/// A track bar: X of its ends, and its length along the ground.
struct TrackEnds {
  double from_x_mm = 0, to_x_mm = 0, length_mm = 0;
};
TrackEnds trackEnds(const GateSpec& spec, const Layout& layout, int panel);
/// The lengths that it is laid in, from its start: as few equal ones as the longest bar allows.
std::vector<TrackEnds> trackPieces(const GateSpec& spec, const Layout& layout, int panel);
/// The same of the flat under an angle: its joints are midway between the angle's.
std::vector<TrackEnds> flatPieces(const GateSpec& spec, const Layout& layout, int panel);

struct FootingExtent {
  double from_x_mm = 0, to_x_mm = 0, from_y_mm = 0, to_y_mm = 0;
};
FootingExtent footingExtent(const GateSpec& spec, const Layout& layout);

}  // namespace leafstack
