// 1:1 templates that are laid round a tube to mark its cut-outs and raked ends by hand.
//
// Frame of a template, seen from outside the tube as the paper is read: X along the tube from the
// datum (X = 0, Y = 0 or Z = 0 of the part's frame: the end of the underside, or of an upright's
// leading side), Y to the left of that, round the girth over flats and round corners, 0 at the
// seam. On left-hand gates solids are mirrored and X runs against the part's own; the template
// shows the mirrored tube as it is.
//
// Properties (tests/shop/wrap_template_test.cpp): W1 every point of a curve, laid back onto the
// tube, is within kWrapCurveMm of an edge of the solid's outer skin, and the other way round; W2
// what is round on a flat stays round, what is straight has two points; W3 0 <= Y <= girth: curves
// across the seam are cut there into open ones; W4 the girth is 2 (H + B) - (8 - 2 pi) r.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "generator/model/model.h"
#include "generator/shop/wrap/wrap_shapes.h"

namespace leafstack {

struct WrapTemplate {
  std::string mark, section;
  double length_mm = 0;  ///< greatest extent along the tube
  double girth_mm = 0;
  std::vector<double> fold_lines_mm;  ///< Y of the flats' edges, rising
  std::vector<WrapWall> walls;        ///< rising
  std::string datum;                  ///< what X = 0 is
  std::string seam;                   ///< where Y = 0 is, and why there
  int seam_crossings = 0;             ///< cut-outs that the seam goes through
  std::vector<WrapCurve> cutouts;
  std::vector<WrapCurve> ends;    ///< from the datum's end to the far one; open, from seam to seam
  double from_mm = 0, to_mm = 0;  ///< least and greatest X: below 0 where the end is raked so
};

/// Template of a cut tube that has cut-outs or an end that is not square; nothing for other parts.
/// Throws GeometryError for a tube whose outer skin cannot be told from its section, which has
/// other than two ends, or cut-outs that touch each other.
std::optional<WrapTemplate> wrapTemplateOf(const Part& part);

/// Extents of a curve, arcs included.
struct WrapBox {
  double x0_mm = 0, x1_mm = 0, y0_mm = 0, y1_mm = 0;
};
WrapBox boxOf(const WrapCurve& curve);

}  // namespace leafstack
