// The kernel, with its silent failures made loud.
#pragma once

#include <TopLoc_Location.hxx>
#include <TopoDS_Shape.hxx>
#include <array>
#include <string>

#include "generator/geometry/bounds.h"
#include "generator/geometry/geometry_error.h"

namespace leafstack {

/// Returns the single solid in `shape`. Throws GeometryError, naming `what`, when there is not
/// exactly one solid, or when its shell is open. Cheap: topology only.
TopoDS_Shape closedSolid(const TopoDS_Shape& shape, const std::string& what);

/// closedSolid(), and the kernel's full checker on every face and edge: before anything is written.
TopoDS_Shape checkedSolid(const TopoDS_Shape& shape, const std::string& what);

struct MassProperties {
  double volume_mm3 = 0;  ///< negative for an inside-out solid
  std::array<double, 3> centroid_mm{};
};

/// Exact properties of a solid in its own frame: from its edges where all is flat or round
/// (moments.h), else the kernel integrates over the faces.
MassProperties massProperties(const TopoDS_Shape& solid);

double surfaceArea(const TopoDS_Shape& solid);
int faceCount(const TopoDS_Shape& solid);

/// Tight axis-parallel bounds of a solid, never smaller than it. Tight for plane, cylindrical and
/// full toroidal faces; loose by a rope's diameter for part of a torus, whose builder knows better.
Bounds tightBounds(const TopoDS_Shape& solid);

/// Bounds of `local` after moving by `location`; tight for translations and quarter turns.
Bounds movedBounds(const Bounds& local, const TopLoc_Location& location);

}  // namespace leafstack
