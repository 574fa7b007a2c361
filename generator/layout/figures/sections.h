// Geometry rules of hollow sections that need no kernel.
#pragma once

#include "params/spec/gate_spec.h"

namespace leafstack {

/// Corner radii of cold-formed hollow sections: EN 10219-2, outer 2.0 t and inner 1.0 t up to 6 mm,
/// 2.5 t and 1.5 t up to 10 mm; of extruded ones whatever the wall.
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

/// What bending and twisting ask of a section. mm, mm2, mm3, mm4.
struct SectionProperties {
  double area_mm2 = 0;
  double second_moment_mm4 = 0;  ///< I, bending across the depth: out of the gate's plane
  double modulus_mm3 = 0;        ///< elastic, W = 2 I / depth
  double torsion_mm4 = 0;        ///< thin-walled, by Bredt
  double cell_mm2 = 0;           ///< inside the wall's middle line
};

/// Of a cold-formed hollow section, by the formulas of EN 10219-2 (row R3): rounded corners, bent
/// so that `depth_mm` is its height in bending.
SectionProperties bendingAcross(const HollowSection& section);
/// The same, bent so that `height_mm` is its height in bending.
SectionProperties bendingUpright(const HollowSection& section);

}  // namespace leafstack
