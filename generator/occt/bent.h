// Bars and slabs that follow a surveyed line.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>

#include "generator/ground_line.h"

namespace leafstack {

/// A round bar that lies on the line: X from ends[0] to ends[1], Y 0 its middle, Z from the line's
/// own height at X = 0. Its ends are square to the line.
TopoDS_Shape bentBar(const GroundLine& line, const std::array<double, 2>& ends, double radius_mm);

/// A slab below the line: X from 0 (at ends[0]), Y 0 to `width_mm`, Z 0 at the lower corner there.
TopoDS_Shape bentSlab(const GroundLine& line, const std::array<double, 2>& ends, double width_mm,
                      double depth_mm);

}  // namespace leafstack
