// What the installer sets out from one datum, and the extents of tracks and footing.
#pragma once

#include <string>
#include <vector>

#include "generator/schedules.h"

namespace leafstack {

/// A track bar: X of its ends, and its length along the ground.
struct TrackEnds {
  double from_x_mm = 0, to_x_mm = 0, length_mm = 0;
};
TrackEnds trackEnds(const GateSpec& spec, const Layout& layout, int panel);

struct FootingExtent {
  double from_x_mm = 0, to_x_mm = 0, from_y_mm = 0, to_y_mm = 0;
};
FootingExtent footingExtent(const GateSpec& spec, const Layout& layout);

/// Everything that is set out on site, in the order of work.
std::vector<SetOutRow> setOutRows(const Model& model);

}  // namespace leafstack
