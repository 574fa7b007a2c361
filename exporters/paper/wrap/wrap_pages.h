// Which stretches of which templates are printed, and where on which page. All in mm.
#pragma once

#include <string>
#include <vector>

#include "generator/shop/wrap/wrap_template.h"

namespace leafstack {

inline constexpr double kWrapStationMm = 100;  ///< between station lines

struct WrapPageSize {
  double width_mm = 0, height_mm = 0;
  double margin_mm = 8;      ///< more than any common printer leaves blank
  double column_mm = 62;     ///< of words and check bars, on the right
  double titles_mm = 5;      ///< above a piece
  double stations_mm = 3.5;  ///< below a piece
  double between_mm = 7;     ///< neighbours
  double lap_mm = 10;        ///< of a template that goes on on another piece
  double pieceWidthMm() const { return width_mm - 2 * margin_mm - column_mm; }
  double pieceHeightMm() const { return height_mm - 2 * margin_mm - titles_mm - stations_mm; }
};

/// A rectangle of a template, at its place on a page.
struct WrapPiece1To1 {
  const WrapTemplate* made = nullptr;
  std::vector<std::string> marks;  ///< tubes that are the same here
  double x0_mm = 0, x1_mm = 0, y0_mm = 0, y1_mm = 0;
  /// Edges where the template goes on on another piece, which overlaps by lap_mm.
  bool goes_on_left = false, goes_on_right = false, goes_on_below = false, goes_on_above = false;
  int page = 0;
  double left_mm = 0, top_mm = 0;  ///< of the piece's title line, from the page's top left corner
};

/// "PK1 to PK3, PK7".
std::string markList(const std::vector<std::string>& marks);

/// Pages count from 0. Deterministic; pieces of a template stand in the order of X, then of Y.
std::vector<WrapPiece1To1> wrapPieces(const std::vector<WrapTemplate>& templates,
                                      const WrapPageSize& size);

}  // namespace leafstack
