// Puts views into a box of a sheet, at the largest standard scale that they fit at.
#pragma once

#include <optional>
#include <vector>

#include "exporters/paper/blocks/view_block.h"

namespace leafstack {

/// A grid of views, row by row from the top. Views of a column share their horizontal place, those
/// of a row their vertical one; null leaves a cell empty.
struct ViewGrid {
  std::vector<std::vector<const ViewBlock*>> rows;
  bool are_columns_aligned = true;  ///< else each view is centred in its place
};

/// Scales of ISO 5455, largest first, as model mm for each paper mm.
const std::vector<double>& standardScales();

/// Draws the grid into `box` and returns the scale (mm of the model for each mm of paper, at least
/// `largest_scale`); nothing, and nothing drawn, where not even the smallest scale will do.
std::optional<double> addGrid(Sheet& sheet, const PaperBox& box, const ViewGrid& grid,
                              double largest_scale = 1);

}  // namespace leafstack
