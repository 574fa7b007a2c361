// Hollow sections with holes in their flat walls, built face by face: no boolean operation.
#pragma once

#include <TopoDS_Shape.hxx>
#include <vector>

#include "generator/occt/solids/mitre.h"
#include "generator/occt/solids/outline.h"

namespace leafstack {

/// Flat walls of a horizontal tube (along X, Y 0..depth, Z 0..height); front is Y = 0.
enum class Wall { kFront, kRear, kBottom, kTop };

/// A hole through one wall. `outline` is convex, drawn anticlockwise in (X, Z) for front and rear,
/// in (X, Y) for bottom and top, and lies inside the wall's flat, apart from other holes.
struct WallHole {
  Wall wall{};
  Outline outline;
};

/// mitredSection() along X with `holes`. Throws GeometryError as that does, and when a wall cannot
/// be found (a section without flats).
TopoDS_Shape drilledSection(const HollowSection& section, double length_mm,
                            const std::vector<WallHole>& holes, const EndSlopes& ends = {});

}  // namespace leafstack
