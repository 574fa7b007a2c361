// The buffer of a panel's end stop: thick enough that the rope bracket behind the bottom rail's end
// never meets the stop, and as high as what the bracket leaves of that end. "Up" is from the rail's
// underside, mm.
#pragma once

#include "generator/layout/figures/layout_types.h"

namespace leafstack {

struct EndBuffer {
  double thickness_mm = 0;
  double low_up_mm = 0, high_up_mm = 0;
};

/// Of panel `number` (1 = back).
EndBuffer endBuffer(const GateSpec& spec, const Layout& layout, int number);

/// What the open-end stops take behind the parked panels, from the furthest trailing end.
double stopsPastPanelsMm(const GateSpec& spec, const Layout& layout);

}  // namespace leafstack
