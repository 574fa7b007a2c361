// Views of placed solids: hidden lines removed, or cut by a plane.
//
// Lines are exact: edges, and outlines of cylinders, cones and tori from their formulas. What hides
// them are triangles, within kMeshDeflectionMm of curved faces: each line is cut where it passes
// behind a triangle's border, so that what is drawn ends where it ought to, at any scale, and the
// work is bounded by lines x triangles that they pass behind. What lies no deeper than a hundredth
// of a millimetre behind a face touches it and is not hidden by it.
//
// Frame of results: PictureView's, mm to the right and up.
//
// Properties (tests/paper/drawing_projection_test.cpp): V1 what is visible and hidden is so, point
// by point, in the kernel's exact hidden-line removal; V2 no two curves of a view lie on each
// other: visible before hidden, contour before crease, lower index of solid; V3 no tangent edges;
// V4 circles seen square on are arcs, whole or in part; V5 same input, same output, in the order of
// the solids; V6 the loops of a cut enclose the solid's own section area.
#pragma once

#include <vector>

#include "exporters/paper/sheet/sheet.h"
#include "exporters/paper/views/solids/picture_view.h"
#include "exporters/paper/views/solids/view_types.h"

namespace leafstack {

/// Ordered by solid, visible before hidden, contours before creases.
std::vector<ViewCurve> projected(const std::vector<PlacedViewSolid>& solids,
                                 const PictureView& view, const ViewOptions& options = {});

/// All points p with normal . p = offset_mm; what lies on the side the normal points to is removed.
/// A solid that lies on one side, touching the plane or not, is not cut. Where the plane runs
/// through corners of a solid, that solid is cut a thousandth of a millimetre further on, towards
/// what is removed: a face of it that lies in the plane and looks at the eye is seen, not cut.
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
  /// What is seen beyond the plane, without the outlines of the cut faces and what lies on them.
  std::vector<ViewCurve> behind;
};

/// Seen square on, against the plane's normal: throws ExportError for a view that is not. Silent
/// solids are cut as well, but have no cut faces.
CutView cutView(const std::vector<PlacedViewSolid>& solids, const PictureView& view,
                const CutPlane& plane, const ViewOptions& options = {});

/// Hatching of a cut face at 45 degrees or 135, `spacing_mm` apart, in view mm. One line of each
/// direction runs through the view's origin, so that hatchings side by side go on in each other.
/// Nothing for a spacing that is not positive, or would take thousands of lines.
std::vector<Path> hatching(const std::vector<std::vector<PathVertex>>& loops, double spacing_mm,
                           double angle_deg);

}  // namespace leafstack
