// What a view is made of, and what comes out of it. Frame of curves: PictureView's, mm to the right
// and up.
#pragma once

#include <TopLoc_Location.hxx>
#include <TopoDS_Shape.hxx>
#include <array>
#include <memory>
#include <vector>

#include "exporters/paper/sheet/sheet.h"

namespace leafstack {

/// What a view needs of one solid: triangles and edges, read once, shared by its instances. Throws
/// GeometryError where the kernel cannot mesh a face.
class ViewSolid;
std::shared_ptr<const ViewSolid> viewSolid(const TopoDS_Shape& solid);

struct PlacedViewSolid {
  std::shared_ptr<const ViewSolid> solid;
  TopLoc_Location location;
  /// Its hidden edges are drawn too. Where solids touch or run through each other no line is made:
  /// each has its own edges and outlines, and no others.
  bool shows_hidden = false;
  /// Hides what is behind, without lines of its own.
  bool is_silent = false;
};

struct ViewCurve {
  int solid = 0;  ///< index into what was given; of a loose line, as many more as there are solids
  bool is_hidden = false;
  /// One of the two faces turns away: the solid, or one part of it before another, ends here as
  /// seen. Else a crease between two faces that are both seen.
  bool is_contour = false;
  bool is_closed = false;
  std::vector<PathVertex> vertices;  ///< view mm, with bulges for arcs of circles seen square on
};

struct ViewOptions {
  double least_length_mm = 0;  ///< shorter curves are left out
  /// Lines of their own, without thickness, in the solids' common frame: their curves come after the
  /// solids', numbered on from them.
  std::vector<std::vector<Vec3>> loose_lines;
  /// Hide what is behind them, whichever side is seen, without lines of their own.
  std::vector<std::array<Vec3, 3>> loose_triangles;
};

}  // namespace leafstack
