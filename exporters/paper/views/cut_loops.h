// Where a plane cuts a solid: closed loops.
#pragma once

#include "exporters/paper/views/projection.h"
#include "exporters/paper/views/solids/seen_solid.h"

namespace leafstack {

/// Loops of `solid` where it is `depth_mm` near to the eye, in the view's frame; no corner of the
/// solid may lie in that plane. Corners are exact where flat and round faces meet; cylinders cut
/// square give arcs, other round faces chords with their ends on the surface.
std::vector<std::vector<PathVertex>> cutLoops(const ViewSolid& solid, const ViewFrame& frame,
                                              double depth_mm);

/// Positive for a loop that runs anticlockwise; arcs count by their bulges.
double signedAreaMm2(const std::vector<PathVertex>& loop);

}  // namespace leafstack
