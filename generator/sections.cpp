#include "generator/sections.h"

namespace leafstack {

CornerRadii cornerRadii(const HollowSection& section) {
  constexpr double kThickerWallMm = 6;  // EN 10219-2: the rule changes above 6 mm
  const double t = section.wall_mm;
  return t <= kThickerWallMm ? CornerRadii{2.0 * t, 1.0 * t} : CornerRadii{2.5 * t, 1.5 * t};
}

Flat holeZone(const HollowSection& section) {
  const double corner = cornerRadii(section).outer_mm + kHoleInFlatMm;
  return {corner, section.height_mm - corner};
}

}  // namespace leafstack
