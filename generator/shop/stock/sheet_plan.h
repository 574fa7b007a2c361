// Which plates are cut from which sheet, and where on it: bounding rectangles of their blanks, laid
// in rows. A simple plan, to buy by and to check a cutter's against: nesting by shape takes less.
//
// Properties (tested, tests/shop/sheet_plan_test.cpp): every piece lies on one sheet exactly once
// or stands in `too_large`; all lie within their sheet and a gap from its edges and from each
// other; no plan takes fewer sheets than `least_sheets`; same input, same plan.
#pragma once

#include <string>
#include <vector>

namespace leafstack {

/// Rectangles of one mark.
struct SheetPiece {
  std::string mark;
  double length_mm = 0, width_mm = 0;  ///< > 0, of either which is longer
  int quantity = 1;
};

struct SheetRules {
  double length_mm = 0, width_mm = 0, gap_mm = 0;
};

/// A rectangle's corner on its sheet, from the sheet's own, and its sides along the sheet's length
/// and width.
struct SheetCut {
  std::string mark;
  double x_mm = 0, y_mm = 0, along_mm = 0, across_mm = 0;
  bool is_turned = false;  ///< its own length lies along the sheet's width
};

struct SheetPlan {
  std::vector<std::vector<SheetCut>> sheets;
  double needed_mm2 = 0;  ///< of all that is cut
  int least_sheets = 0;   ///< by area alone, gaps counted
  std::vector<SheetPiece> too_large;
};

/// First fit by falling width. Throws std::invalid_argument for sizes that are not positive or not
/// finite, and for more than 100000 pieces.
SheetPlan planSheets(const std::vector<SheetPiece>& pieces, const SheetRules& rules);

}  // namespace leafstack
