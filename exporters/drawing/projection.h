// Views of placed solids: hidden lines removed, or cut by a plane.
//
// The work is done on triangles, exactly: each edge is cut where it passes behind a triangle's
// border, so that what is drawn ends where it ought to, at any scale, and the work is bounded by
// edges x triangles near them. Only curved faces are approximated, by kMeshDeflectionMm.
//
// Frame of results: PictureView's, mm to the right and up.
//
// Properties (tests/drawing_projection_test.cpp): V1 total visible and hidden length per solid as by
// the kernel's exact hidden-line removal; V2 no two curves of a view lie on each other: visible
// before hidden, contour before crease; V3 no tangent edges; V4 circles seen square on are arcs;
// V5 same input, same output, in the order of the solids; V6 the loops of a cut enclose the solid's
// own section area.
#pragma once

#include <TopLoc_Location.hxx>
#include <TopoDS_Shape.hxx>
#include <memory>
#include <vector>

#include "exporters/drawing/sheet.h"
#include "exporters/picture_view.h"

namespace leafstack {

/// What a view needs of one solid: triangles and edges, read once, shared by its instances.
class ViewSolid;
std::shared_ptr<const ViewSolid> viewSolid(const TopoDS_Shape& solid);

struct PlacedViewSolid {
  std::shared_ptr<const ViewSolid> solid;
  TopLoc_Location location;
  /// Solids of one group do not show the lines where they touch or run through each other apart
  /// from their own edges; hidden lines are drawn for solids that ask for them only.
  bool shows_hidden = false;
  /// Hides what is behind, without lines of its own.
  bool is_silent = false;
};

struct ViewCurve {
  int solid = 0;  ///< index into what was given
  bool is_hidden = false;
  bool is_contour = false;  ///< the solid ends here, as seen; else a crease within its outline
  bool is_closed = false;
  std::vector<PathVertex> vertices;  ///< view mm, with bulges for arcs
};

struct ViewOptions {
  double least_length_mm = 0;  ///< shorter curves are left out
};

std::vector<ViewCurve> projected(const std::vector<PlacedViewSolid>& solids,
                                 const PictureView& view, const ViewOptions& options = {});

/// All points p with normal . p = offset_mm; what lies on the side the normal points to is removed.
struct CutPlane {
  Vec3 normal{};
  double offset_mm = 0;
};

struct CutFace {
  int solid = 0;
  std::vector<std::vector<PathVertex>> loops;  ///< closed; outlines anticlockwise, holes clockwise
  double area_mm2 = 0;
};

struct CutView {
  std::vector<CutFace> faces;
  std::vector<ViewCurve> behind;  ///< what is seen beyond the plane
};

/// Seen square on, against the plane's normal.
CutView cutView(const std::vector<PlacedViewSolid>& solids, const PictureView& view,
                const CutPlane& plane, const ViewOptions& options = {});

/// Hatching of a cut face at 45 degrees or 135, `spacing_mm` apart, in view mm.
std::vector<Path> hatching(const std::vector<std::vector<PathVertex>>& loops, double spacing_mm,
                           double angle_deg);

}  // namespace leafstack
