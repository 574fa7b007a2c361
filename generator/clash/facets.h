// Triangles of one face, straight from its edges, each with the bound of its own error.
//
// Planes within lines, circles and ellipses, cylinders between two planes, and cones, tori and
// turned arcs cut square to their parameters: the faces gates are made of, some twenty times
// quicker than by the kernel's mesher, which has to serve any face. Any other face is left to the
// kernel's mesher.
#pragma once

#include <TopoDS_Face.hxx>
#include <vector>

#include "generator/clash/hull_tree.h"

namespace leafstack {

struct Facets {
  std::vector<Vec3> points;
  std::vector<std::array<int, 3>> triangles;  ///< turning left as seen from outside the solid
  std::vector<double> errors_mm;              ///< by triangle
};

/// Triangles of `face` within `deflection_mm` of it, or as near as the kernel's mesher goes in
/// reasonable time: the errors say which. A triangle's error is the sagitta
/// r (1 - cos(a/2)) of the angle a it takes of a round surface, or of a circular edge it borders;
/// 0 where planes meet straight edges. At an ellipse r is its greater half axis, but the steps are
/// those of the cylinder it was cut from: where a plane lies aslant by a slope s, triangles leave
/// the face by up to sqrt(1 + s^2) times `deflection_mm`. Throws GeometryError where the kernel
/// cannot mesh a face that is not of the kinds above.
Facets facetsOf(const TopoDS_Face& face, double deflection_mm);

}  // namespace leafstack
