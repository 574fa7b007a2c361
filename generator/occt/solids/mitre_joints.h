// Where the chords of a bar that follows a surveyed line meet.
#pragma once

#include <TopoDS_Shape.hxx>
#include <TopoDS_Shell.hxx>
#include <array>
#include <gp_Dir.hxx>
#include <gp_Pnt.hxx>
#include <vector>

#include "generator/layout/travel/ground_line.h"
#include "generator/occt/solids/outline.h"

namespace leafstack {

/// Where two chords meet, or one ends: a plane across them.
struct MitreJoint {
  gp_Pnt centre;
  double turn_rad = 0;  ///< direction of the plane's normal, +X towards +Z
  double half_rad = 0;  ///< half of what the bar turns here
};

gp_Dir alongDir(double turn_rad);
gp_Dir upDir(double turn_rad);

/// The solid that the faces of such a bar close in.
TopoDS_Shape solidWithin(TopoDS_Shell& shell);

/// The joints of a bar whose centre line lies `over_mm` above the line, square to it, X from
/// ends[0] to ends[1], in chords that stay within `chord_mm` of it; the ends are square to their
/// chords.
std::vector<MitreJoint> mitreJoints(const GroundLine& line, const std::array<double, 2>& ends,
                                    double over_mm, double chord_mm);

/// A solid and what integrals over its faces come to.
struct MeasuredSolid {
  TopoDS_Shape solid;
  double volume_mm3 = 0, area_mm2 = 0;
  std::array<double, 3> centroid_mm{};
};

/// Integrals over a bar's section: over its area, of y and u (Y, and square to both Y and the bar)
/// and their products; `round_`: along its edge.
struct SectionIntegrals {
  double area_mm2 = 0, y_mm3 = 0, u_mm3 = 0, yu_mm4 = 0, uu_mm4 = 0;
  double round_mm = 0, round_u_mm2 = 0;

  static SectionIntegrals ofRound(double radius_mm);
  /// Corners in (Y, u), anticlockwise.
  static SectionIntegrals ofPolygon(const std::vector<Point2>& corners);
};

/// In closed form, of a bar whose lengths from joint to joint have this section about the joints'
/// centres: prisms and cylinders cut aslant by the planes there. The kernel's own integration of a
/// track's many faces takes a tenth of a check.
MeasuredSolid measuredBar(const std::vector<MitreJoint>& joints, const SectionIntegrals& section,
                          const TopoDS_Shape& solid);

}  // namespace leafstack
