// Boxes and lines on paper, for keeping things apart. Paper mm.
#pragma once

#include <algorithm>
#include <limits>
#include <vector>

#include "exporters/paper/sheet/sheet.h"

namespace leafstack {

struct PaperRoom {
  double width_mm = 0, height_mm = 0;
};

struct PaperBox {
  double left_mm = std::numeric_limits<double>::infinity();
  double bottom_mm = std::numeric_limits<double>::infinity();
  double right_mm = -std::numeric_limits<double>::infinity();
  double top_mm = -std::numeric_limits<double>::infinity();

  double widthMm() const { return right_mm - left_mm; }
  double heightMm() const { return top_mm - bottom_mm; }
  bool isEmpty() const { return right_mm < left_mm; }

  void include(const PaperPoint& point);
  void include(const PaperBox& other);
  PaperBox grown(double by_mm) const {
    return {left_mm - by_mm, bottom_mm - by_mm, right_mm + by_mm, top_mm + by_mm};
  }
  PaperBox moved(double x_mm, double y_mm) const {
    return {left_mm + x_mm, bottom_mm + y_mm, right_mm + x_mm, top_mm + y_mm};
  }
  /// Touching along an edge is no overlap.
  bool overlaps(const PaperBox& other) const {
    return left_mm < other.right_mm && other.left_mm < right_mm && bottom_mm < other.top_mm &&
           other.bottom_mm < top_mm;
  }
  bool holds(const PaperBox& other) const {
    return left_mm <= other.left_mm && bottom_mm <= other.bottom_mm && right_mm >= other.right_mm &&
           top_mm >= other.top_mm;
  }
};

struct PaperLine {
  PaperPoint from{}, to{};
};

/// Whether a line passes through a box's inside.
bool crosses(const PaperLine& line, const PaperBox& box);

/// The upright box around a text.
PaperBox boxOf(const Lettering& lettering);
PaperBox boxOf(const DrawnDimension& dimension);

/// Everything on `sheet` moved to its own place: used to draw a block at the origin first.
void addMoved(Sheet& sheet, const Sheet& block, const PaperPoint& by);

/// Around all that is drawn, apart from widths of lines.
PaperBox extentsOf(const Sheet& sheet);

}  // namespace leafstack
