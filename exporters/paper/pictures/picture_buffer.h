// What is in front: a grid of depths and labels, and the outlines of equal labels in it.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <vector>

#include "generator/geometry/mesh/mesh.h"

namespace leafstack {

using SheetPoint = std::array<double, 2>;
using SheetLoop = std::vector<SheetPoint>;

/// Pixels count from the top left; a pixel's middle is at +0.5. Depth is in mm, greater is nearer.
class PictureBuffer {
 public:
  PictureBuffer(int width_px, int height_px);

  /// Fills a triangle given as (px right, px down, depth), either way round. Only what is nearer
  /// than everything filled so far shows. Labels count from 1; 0 is the paper.
  void fill(const std::array<Vec3, 3>& triangle, std::uint16_t label);

  /// Depth in front at a pixel; nothing there is infinitely far.
  double depth(int x, int y) const {
    return x < 0 || y < 0 || x >= width_ || y >= height_
               ? -std::numeric_limits<double>::infinity()
               : static_cast<double>(depths_[index(x, y)]);
  }

  /// Whether a point at `pixel` (px right, px down, depth) shows: it is at most `slack_mm` behind
  /// what was filled at one of the nine pixels around.
  bool shows(const Vec3& pixel, double slack_mm) const;

  std::uint16_t label(int x, int y) const {
    return x < 0 || y < 0 || x >= width_ || y >= height_ ? 0 : labels_[index(x, y)];
  }

  /// Outlines of every label's area, by label, in px: outer ones and holes alike, to be filled
  /// even-odd. Corners are simplified within `tolerance_px`, specks below `least_area_px` left out.
  std::vector<std::vector<SheetLoop>> outlines(double tolerance_px, double least_area_px) const;

 private:
  std::size_t index(int x, int y) const { return static_cast<std::size_t>(y) * width_ + x; }
  SheetLoop follow(int x, int y, std::vector<bool>& seen) const;

  int width_, height_;
  std::vector<float> depths_;
  std::vector<std::uint16_t> labels_;
};

/// The closed loop with fewer corners, none of those left out farther than `tolerance` away
/// (Douglas and Peucker's method, from two corners far apart).
SheetLoop simplified(const SheetLoop& loop, double tolerance);

/// Positive or negative by sense; 0 for fewer than three corners.
double areaOf(const SheetLoop& loop);

}  // namespace leafstack
