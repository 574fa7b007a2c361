// Tubes and bars whose ends are cut on a slant in the XZ plane, built face by face: no boolean.
#pragma once

#include <TopoDS_Shape.hxx>
#include <vector>

#include "generator/occt/solids/outline.h"

namespace leafstack {

/// Rise of a bar's two end planes: X gained per mm of Z for lengths along X, Z gained per mm of X
/// for uprights. Any finite value; 0 is a square end.
struct EndSlopes {
  double start = 0, end = 0;
};

/// Straight hollow section between two end planes, which are square to the XZ plane.
/// Plane kYZ (along X): Y 0..depth, Z 0..height, from x = start * z to x = `length_mm` + end * z.
/// Plane kXY (upright): X 0..height, Y 0..depth, from z = start * x to z = `length_mm` + end * x.
/// So `length_mm` is the edge at Z = 0 (upright: X = 0). With both slopes 0: hollowSection().
/// Exact: walls and ends are planes, corners cylinders, cut in ellipses.
/// Throws GeometryError for plane kXZ, for end planes that meet within the section, and for a
/// section smaller than its corners.
TopoDS_Shape mitredSection(Plane along, const HollowSection& section, double length_mm,
                           const EndSlopes& ends);

/// Solid bar between the same end planes; `corners` are its polygon in (Y, Z) or, upright, (X, Y),
/// drawn anticlockwise. Throws GeometryError as mitredSection(), and for a polygon drawn clockwise.
TopoDS_Shape mitredPrism(Plane along, const std::vector<Point2>& corners, double length_mm,
                         const EndSlopes& ends);

}  // namespace leafstack
