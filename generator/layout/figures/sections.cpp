#include "generator/layout/figures/sections.h"

#include <cmath>
#include <numbers>

namespace leafstack {
namespace {

constexpr double kPi = std::numbers::pi;

/// Second moment of a rectangle `high` x `wide` with rounded corners: the rectangle, less four
/// corner pieces, each with its own moment (k r^4) and its area's about the axis.
double roundedSecondMoment(double high, double wide, double radius) {
  const double centre = (10 - 3 * kPi) / (12 - 3 * kPi);
  const double own = 1.0 / 3 - kPi / 16 - 1 / (3 * (12 - 3 * kPi));
  const double arm = high / 2 - centre * radius;
  return wide * std::pow(high, 3) / 12 -
         4 * (own * std::pow(radius, 4) + (1 - kPi / 4) * radius * radius * arm * arm);
}

SectionProperties propertiesOf(const HollowSection& section, double high, double wide) {
  const CornerRadii radii = cornerRadii(section);
  const double t = section.wall_mm;
  SectionProperties p;
  p.area_mm2 = 2 * t * (wide + high - 2 * t) -
               (4 - kPi) * (radii.outer_mm * radii.outer_mm - radii.inner_mm * radii.inner_mm);
  p.second_moment_mm4 = roundedSecondMoment(high, wide, radii.outer_mm) -
                        roundedSecondMoment(high - 2 * t, wide - 2 * t, radii.inner_mm);
  p.modulus_mm3 = 2 * p.second_moment_mm4 / high;
  const double middle_radius = (radii.outer_mm + radii.inner_mm) / 2;
  p.cell_mm2 = (high - t) * (wide - t) - (4 - kPi) * middle_radius * middle_radius;
  const double girth = 2 * (high + wide - 2 * t) - (8 - 2 * kPi) * middle_radius;
  p.torsion_mm4 = 4 * p.cell_mm2 * p.cell_mm2 * t / girth;
  return p;
}

}  // namespace

CornerRadii cornerRadii(const HollowSection& section) {
  // What EN 755-9 lets be of a sharp corner, from memory.
  constexpr CornerRadii kExtruded = {0.8, 0.5};
  if (section.is_extruded) {
    return kExtruded;
  }
  constexpr double kThickerWallMm = 6;  // EN 10219-2: the rule changes above 6 mm
  const double t = section.wall_mm;
  return t <= kThickerWallMm ? CornerRadii{2.0 * t, 1.0 * t} : CornerRadii{2.5 * t, 1.5 * t};
}

Flat holeZone(const HollowSection& section) {
  const double corner = cornerRadii(section).outer_mm + kHoleInFlatMm;
  return {corner, section.height_mm - corner};
}

SectionProperties bendingAcross(const HollowSection& section) {
  return propertiesOf(section, section.depth_mm, section.height_mm);
}

SectionProperties bendingUpright(const HollowSection& section) {
  return propertiesOf(section, section.height_mm, section.depth_mm);
}

}  // namespace leafstack
