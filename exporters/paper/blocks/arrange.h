// Puts views into a box of a sheet, at the largest standard scale that they fit at.
#pragma once

#include <memory>
#include <optional>
#include <string>
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

/// A grid drawn at one scale.
class DrawnGrid {
 public:
  /// At the largest standard scale from `largest_scale` on (mm of the model for each mm of paper)
  /// at which it fits; nothing where not even the smallest will do.
  static std::optional<DrawnGrid> fitted(const ViewGrid& grid, const PaperRoom& room,
                                         double largest_scale = 1);

  double mmPerMm() const;
  double widthMm() const;  ///< that it takes at least
  double heightMm() const;
  /// Into `box`, which is no smaller: what is left over goes between its views.
  void addTo(Sheet& sheet, const PaperBox& box) const;

 private:
  class Cells;
  explicit DrawnGrid(std::shared_ptr<const Cells> cells) : cells_(std::move(cells)) {}
  std::shared_ptr<const Cells> cells_;
};

/// The same, or ExportError: a sheet that lacks what it is called by is not written.
DrawnGrid needed(std::optional<DrawnGrid> grid, const std::string& what);

/// Draws the grid into `box` and returns the scale (mm of the model for each mm of paper, at least
/// `largest_scale`); nothing, and nothing drawn, where not even the smallest scale will do.
std::optional<double> addGrid(Sheet& sheet, const PaperBox& box, const ViewGrid& grid,
                              double largest_scale = 1);

/// The same, or ExportError.
double addNeeded(Sheet& sheet, const PaperBox& box, const ViewGrid& grid, double largest_scale = 1);

}  // namespace leafstack
