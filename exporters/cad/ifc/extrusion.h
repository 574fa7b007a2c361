// A part as a flat outline drawn out straight, where that is all it is.
#pragma once

#include <gp_Ax2.hxx>
#include <optional>
#include <vector>

#include "generator/model/model.h"
#include "generator/occt/flat_loops.h"

namespace leafstack {

/// Loops of lines and arcs in the X and Y of `base`, drawn out along its Z.
struct Extrusion {
  gp_Ax2 base;
  double depth_mm = 0;
  std::vector<ProfileLoop> loops;  ///< outline first, anticlockwise; holes clockwise

  double volumeMm3() const;
};

/// Exactly the part's solid, in its own frame: two faces alike, and one side for each of their
/// edges, with the solid's volume to a billionth. A plate is taken through its thickness, all else
/// along its length. None for a solid that is anything else: holes across, mitred ends, turned.
std::optional<Extrusion> extrusionOf(const Part& part);

/// Of a hollow section's outline, the radii of its corners, where the loops are such a section's.
struct HollowOutline {
  double x_mm = 0, y_mm = 0;  ///< of the middle
  double wide_mm = 0, high_mm = 0, wall_mm = 0;
  double outer_radius_mm = 0, inner_radius_mm = 0;
};
std::optional<HollowOutline> hollowOutline(const std::vector<ProfileLoop>& loops);

}  // namespace leafstack
