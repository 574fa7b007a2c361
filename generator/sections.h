// Geometry rules of cold-formed hollow sections that need no kernel.
#pragma once

#include "params/gate_spec.h"

namespace leafstack {

/// Corner radii of cold-formed hollow sections: EN 10219-2, outer 2.0 t and inner 1.0 t up to 6 mm,
/// 2.5 t and 1.5 t up to 10 mm.
struct CornerRadii {
  double outer_mm = 0, inner_mm = 0;
};
CornerRadii cornerRadii(const HollowSection& section);

/// A hole stays this far inside a wall's flat, so that its edge never meets the corner's.
inline constexpr double kHoleInFlatMm = 0.5;

/// The part of a side wall, measured up from the underside, where holes may lie.
struct Flat {
  double low_mm = 0, high_mm = 0;
};
Flat holeZone(const HollowSection& section);

}  // namespace leafstack
