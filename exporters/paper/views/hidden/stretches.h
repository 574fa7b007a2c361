// Stretches of straight lines and arcs in a view: which lie on each other, and what they join to.
#pragma once

#include <vector>

#include "exporters/paper/views/solids/view_geometry.h"
#include "exporters/paper/views/solids/view_types.h"

namespace leafstack {

/// A circle or ellipse in the view, turned so that the same one is always the same numbers.
struct FlatRing {
  FlatPoint centre{}, axis{};    ///< unit vector of the long half axis; to the right for a circle
  double along = 0, across = 0;  ///< half axes

  FlatPoint at(double angle) const {
    const double x = along * std::cos(angle);
    const double y = across * std::sin(angle);
    return {centre[0] + axis[0] * x - axis[1] * y, centre[1] + axis[1] * x + axis[0] * y};
  }
  bool isCircle() const { return along == across; }
};

struct DrawnStretch {
  int solid = 0;
  bool is_hidden = false, is_contour = false;
  /// Drawn by others: what lies on it is left out, and so is the stretch itself.
  bool is_taken = false;
  bool is_arc = false;
  FlatPoint from{}, to{};  ///< straight stretches
  FlatRing ring;           ///< arcs
  Interval angles;         ///< arcs: anticlockwise, from < to, at most a turn
};

/// Straight stretches and arcs that one piece gives as seen: an arc seen edge-on gives straight
/// ones. `shares`: parts of it, as shares of its length or angle.
std::vector<DrawnStretch> flattened(const SpacePiece& piece, const Interval& share);

/// Of stretches that lie on each other to kOnEachOtherMm the first in this order remains: taken,
/// visible, contour, lower solid.
std::vector<DrawnStretch> withoutDoubles(const std::vector<DrawnStretch>& stretches);

/// Stretches that meet end to end, and no third one with them, as curves. Ordered by solid, visible
/// first, contours first, then as given.
std::vector<ViewCurve> curvesOf(const std::vector<DrawnStretch>& stretches);

inline constexpr double kOnEachOtherMm = 0.01;

}  // namespace leafstack
