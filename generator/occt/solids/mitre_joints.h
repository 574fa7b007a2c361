// Where the chords of a bar that follows a surveyed line meet.
#pragma once

#include <TopoDS_Shell.hxx>
#include <array>
#include <gp_Dir.hxx>
#include <gp_Pnt.hxx>
#include <vector>

#include "generator/layout/travel/ground_line.h"

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

}  // namespace leafstack
