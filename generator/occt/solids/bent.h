// Bars and slabs that follow a surveyed line, drawn in chords.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>
#include <vector>

#include "generator/layout/travel/ground_line.h"
#include "generator/occt/solids/mitre_joints.h"
#include "generator/occt/solids/outline.h"

namespace leafstack {

/// How far chords of bent bars and slabs stay from their line: far below what a track is laid to.
inline constexpr double kChordMm = 0.005;

/// A round bar that lies on the line: X from ends[0] to ends[1], Y 0 its middle, Z that of the
/// line. Cylinders that meet in mitres; its ends are square to the line.
MeasuredSolid bentBar(const GroundLine& line, const std::array<double, 2>& ends, double radius_mm);

/// A bar of any section that stands on the line: `corners` in (Y, Z) with Z 0 on it, drawn
/// anticlockwise. Planes that meet in mitres; its highest corner keeps its height square to the
/// line, and its ends are square to it. `joints_up_mm`: where it shares the joints of a higher one
/// that stands on it, the height of that.
MeasuredSolid bentPrism(const GroundLine& line, const std::array<double, 2>& ends,
                        const std::vector<Point2>& corners, double joints_up_mm = 0);

/// A slab below the line: X from 0 (at ends[0]), Y 0 to `width_mm`, Z 0 at the lower corner there.
TopoDS_Shape bentSlab(const GroundLine& line, const std::array<double, 2>& ends, double width_mm,
                      double depth_mm);

}  // namespace leafstack
