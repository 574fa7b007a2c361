// Triangles of a plane polygon with holes.
#pragma once

#include <array>
#include <vector>

namespace leafstack {

using FlatPoint = std::array<double, 2>;

/// Cuts a polygon with holes into triangles without new points, as stout as they can be. `loops`:
/// the outline first, then the holes, each without its first point repeated, either way round.
/// Indices count through all loops; triangles turn left, and every side of a loop is a side of just
/// one of them. Empty where the loops are no such polygon (they cross, or touch): the triangles'
/// area is compared with the loops'.
///
/// Method: holes joined to the outline by bridges, ears cut off one by one; Eberly, "Triangulation
/// by Ear Clipping", Geometric Tools (2002). Then sides flipped until no corner lies within the
/// circle through a neighbour's three: Delaunay (1934), the flips after Lawson (1977).
std::vector<std::array<int, 3>> triangulated(const std::vector<std::vector<FlatPoint>>& loops);

/// Positive for a loop that turns left.
double signedArea(const std::vector<FlatPoint>& loop);

}  // namespace leafstack
