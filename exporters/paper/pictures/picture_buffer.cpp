#include "exporters/paper/pictures/picture_buffer.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace leafstack {
namespace {

double squaredToChord(const SheetPoint& p, const SheetPoint& a, const SheetPoint& b) {
  const double dx = b[0] - a[0];
  const double dy = b[1] - a[1];
  const double squared = dx * dx + dy * dy;
  const double along =
      squared > 0 ? std::clamp(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / squared, 0.0, 1.0) : 0;
  const double off_x = p[0] - a[0] - along * dx;
  const double off_y = p[1] - a[1] - along * dy;
  return off_x * off_x + off_y * off_y;
}

/// Depth across a triangle. A sliver's plane is unsure; its corners' depths bound it.
struct TrianglePlane {
  explicit TrianglePlane(const std::array<Vec3, 3>& t) : corner(t[0]) {
    const Vec3 a = {t[1][0] - t[0][0], t[1][1] - t[0][1], t[1][2] - t[0][2]};
    const Vec3 b = {t[2][0] - t[0][0], t[2][1] - t[0][1], t[2][2] - t[0][2]};
    const double area = a[0] * b[1] - a[1] * b[0];
    is_edge_on = area == 0;
    slope_x = is_edge_on ? 0 : (a[2] * b[1] - b[2] * a[1]) / area;
    slope_y = is_edge_on ? 0 : (b[2] * a[0] - a[2] * b[0]) / area;
    least = std::min({t[0][2], t[1][2], t[2][2]});
    most = std::max({t[0][2], t[1][2], t[2][2]});
  }
  double depthAt(double x, double y) const {
    return corner[2] + slope_x * (x - corner[0]) + slope_y * (y - corner[1]);
  }

  Vec3 corner;
  double slope_x = 0, slope_y = 0;  ///< depth gained per px
  double least = 0, most = 0;
  bool is_edge_on = false;
};

/// Where the level line at `y` enters and leaves the triangle; the wrong way round if it misses.
std::pair<double, double> spanAt(const std::array<Vec3, 3>& triangle, double y) {
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (int i = 0; i < 3; ++i) {
    const Vec3& a = triangle[i];
    const Vec3& b = triangle[(i + 1) % 3];
    if (a[1] != b[1] && std::min(a[1], b[1]) <= y && y <= std::max(a[1], b[1])) {
      const double x = a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]);
      low = std::min(low, x);
      high = std::max(high, x);
    }
  }
  return {low, high};
}

}  // namespace

PictureBuffer::PictureBuffer(int width_px, int height_px)
    : width_(width_px),
      height_(height_px),
      depths_(static_cast<std::size_t>(width_px) * height_px,
              -std::numeric_limits<float>::infinity()),
      labels_(depths_.size(), 0) {}

void PictureBuffer::fill(const std::array<Vec3, 3>& triangle, std::uint16_t label) {
  const TrianglePlane plane(triangle);
  if (plane.is_edge_on) {
    return;
  }
  const auto [low_y, high_y] = std::minmax({triangle[0][1], triangle[1][1], triangle[2][1]});
  const int from_y = std::max(0, static_cast<int>(std::floor(low_y - 0.5)));
  const int to_y = std::min(height_ - 1, static_cast<int>(std::ceil(high_y - 0.5)));
  for (int y = from_y; y <= to_y; ++y) {
    const auto [low, high] = spanAt(triangle, y + 0.5);
    if (low > high) {
      continue;
    }
    const int from_x = static_cast<int>(std::max(0.0, std::ceil(low - 0.5)));
    const int to_x = static_cast<int>(std::min(width_ - 1.0, std::floor(high - 0.5)));
    const double start = plane.depthAt(from_x + 0.5, y + 0.5);
    for (int x = from_x; x <= to_x; ++x) {
      const auto depth = static_cast<float>(
          std::clamp(start + plane.slope_x * (x - from_x), plane.least, plane.most));
      if (depth > depths_[index(x, y)]) {
        depths_[index(x, y)] = depth;
        labels_[index(x, y)] = label;
      }
    }
  }
}

bool PictureBuffer::shows(const Vec3& pixel, double slack_mm) const {
  const int x = static_cast<int>(std::floor(pixel[0]));
  const int y = static_cast<int>(std::floor(pixel[1]));
  for (int row = y - 1; row <= y + 1; ++row) {
    for (int column = x - 1; column <= x + 1; ++column) {
      if (depth(column, row) <= pixel[2] + slack_mm) {
        return true;
      }
    }
  }
  return false;
}

SheetLoop PictureBuffer::follow(int x, int y, std::vector<bool>& seen) const {
  // Walks along the sides of pixels with the label on the right; 0 is right, 1 down, 2 left, 3 up.
  static constexpr int kStepX[] = {1, 0, -1, 0};
  static constexpr int kStepY[] = {0, 1, 0, -1};
  // The pixel to the right of the walk, from the corner it leaves.
  static constexpr int kRightX[] = {0, -1, -1, 0};
  static constexpr int kRightY[] = {0, 0, -1, -1};
  const std::uint16_t own = label(x, y);
  SheetLoop loop;
  int corner_x = x;
  int corner_y = y;
  int way = 0;
  do {
    if (way == 0) {
      seen[index(corner_x, corner_y)] = true;
    }
    loop.push_back({corner_x + 0.5 * kStepX[way], corner_y + 0.5 * kStepY[way]});
    corner_x += kStepX[way];
    corner_y += kStepY[way];
    const int left = (way + 3) % 4;
    if (label(corner_x + kRightX[way], corner_y + kRightY[way]) != own) {
      way = (way + 1) % 4;
    } else if (label(corner_x + kRightX[left], corner_y + kRightY[left]) == own) {
      way = left;
    }
  } while (corner_x != x || corner_y != y || way != 0);
  return loop;
}

std::vector<std::vector<SheetLoop>> PictureBuffer::outlines(double tolerance_px,
                                                            double least_area_px) const {
  std::vector<std::vector<SheetLoop>> loops;
  std::vector<bool> seen(labels_.size(), false);
  for (int y = 0; y < height_; ++y) {
    for (int x = 0; x < width_; ++x) {
      const std::uint16_t own = label(x, y);
      if (own == 0 || label(x, y - 1) == own || seen[index(x, y)]) {
        continue;
      }
      const SheetLoop loop = follow(x, y, seen);
      if (std::abs(areaOf(loop)) < least_area_px) {
        continue;
      }
      if (own >= loops.size()) {
        loops.resize(own + 1);
      }
      loops[own].push_back(simplified(loop, tolerance_px));
    }
  }
  return loops;
}

SheetLoop simplified(const SheetLoop& loop, double tolerance) {
  if (loop.size() < 4) {
    return loop;
  }
  std::size_t far = 0;
  const auto reach = [&](std::size_t i) {
    return std::abs(loop[i][0] - loop[0][0]) + std::abs(loop[i][1] - loop[0][1]);
  };
  for (std::size_t i = 1; i < loop.size(); ++i) {
    far = reach(i) > reach(far) ? i : far;
  }
  std::vector<bool> kept(loop.size(), false);
  kept[0] = kept[far] = true;
  std::vector<std::pair<std::size_t, std::size_t>> spans = {{0, far}, {far, loop.size()}};
  while (!spans.empty()) {
    const auto [from, to] = spans.back();
    spans.pop_back();
    double worst = tolerance * tolerance;
    std::size_t split = from;
    for (std::size_t i = from + 1; i < to; ++i) {
      const double off = squaredToChord(loop[i], loop[from], loop[to % loop.size()]);
      if (off > worst) {
        worst = off;
        split = i;
      }
    }
    if (split != from) {
      kept[split] = true;
      spans.push_back({from, split});
      spans.push_back({split, to});
    }
  }
  SheetLoop result;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    if (kept[i]) {
      result.push_back(loop[i]);
    }
  }
  return result;
}

double areaOf(const SheetLoop& loop) {
  double twice = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const SheetPoint& a = loop[i];
    const SheetPoint& b = loop[(i + 1) % loop.size()];
    twice += a[0] * b[1] - a[1] * b[0];
  }
  return twice / 2;
}

}  // namespace leafstack
