// The space that each panel takes up on its way from closed to open: for programs without motion.
//
// Properties (tests/model/swept/swept_space_test.cpp): P1 every point of every part of a panel lies
// inside its space at every position of the travel; P2 on level and evenly sloped tracks the
// outline is no wider than the panel's own hull, moved, and kSweptMarginMm.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

/// Beyond the hull of what was looked at: what meshes and steps of the travel leave out.
inline constexpr double kSweptMarginMm = 0.2;

/// A straight prism across the gate, in the gate's frame.
struct SweptSpace {
  int panel = 0;
  std::vector<std::array<double, 2>> outline_mm;  ///< X, Z; convex, anticlockwise seen from -Y
  double low_y_mm = 0, high_y_mm = 0;
};

/// Of every panel with all that it carries, by panel. The convex hull seen from the front: where
/// panels dip into a sag it holds more than they sweep, never less.
std::vector<SweptSpace> sweptSpaces(const Model& model);

/// The prism, for files of solids.
TopoDS_Shape solidOf(const SweptSpace& space);

}  // namespace leafstack
