// How a tube lies in its part's frame.
#pragma once

#include <algorithm>
#include <array>
#include <optional>

#include "generator/geometry/bounds.h"
#include "generator/geometry/vec.h"
#include "generator/model/model.h"

namespace leafstack {

/// Front and rear, in VentHole's sense.
inline bool isAcrossDepth(Wall wall) {
  return wall == Wall::kFront || wall == Wall::kRear;
}
/// On the part's high coordinates.
inline bool isHigh(Wall wall) {
  return wall == Wall::kRear || wall == Wall::kTop;
}

/// Axes, sizes and ends of a tube in a right-hand gate. Mitred ends slope over the section's
/// height.
struct TubeFrame {
  int along = 0, height = 2, depth = 1;  ///< axes
  HollowSection section;
  Bounds box;
  std::array<double, 2> slope{};

  int axisOf(Wall wall) const { return isAcrossDepth(wall) ? depth : height; }
  int acrossAxis(Wall wall) const { return isAcrossDepth(wall) ? height : depth; }
  double width(Wall wall) const {
    return isAcrossDepth(wall) ? section.height_mm : section.depth_mm;
  }
  /// Along the tube, where its end is at a height of the section.
  double endAt(int end, double h) const {
    const double most = slope[end] * section.height_mm;
    return end == 0 ? box.low[along] - std::min(0.0, most) + slope[0] * h
                    : box.high[along] - std::max(0.0, most) + slope[1] * h;
  }
  Vec3 at(double t, double h, double d) const {
    Vec3 point{};
    point[along] = t;
    point[height] = box.low[height] + h;
    point[depth] = box.low[depth] + d;
    return point;
  }
  Vec3 onWall(Wall wall, double t, double across) const {
    Vec3 point{};
    point[along] = t;
    point[axisOf(wall)] = isHigh(wall) ? box.high[axisOf(wall)] : box.low[axisOf(wall)];
    point[acrossAxis(wall)] = box.low[acrossAxis(wall)] + across;
    return point;
  }
  Vec3 outward(Wall wall) const {
    Vec3 out{};
    out[axisOf(wall)] = isHigh(wall) ? 1 : -1;
    return out;
  }
};

/// Nothing for a tube whose bounds do not have its section's sizes.
std::optional<TubeFrame> frameOf(const Part& tube);

}  // namespace leafstack
