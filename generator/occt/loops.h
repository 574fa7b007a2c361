// Loops of a planar face in coordinates of its own plane.
#pragma once

#include <TopoDS_Face.hxx>
#include <gp_Ax2.hxx>
#include <vector>

#include "generator/occt/flat_loops.h"

namespace leafstack {

/// Outer loop first, anticlockwise seen along the plane's own axes, inner ones clockwise. `axes`
/// gives origin, X and Y. Full circles, in one edge or several, become circles. Throws
/// GeometryError for an edge that is neither straight nor circular.
std::vector<ProfileLoop> loopsOf(const TopoDS_Face& face, const gp_Ax2& axes);

}  // namespace leafstack
