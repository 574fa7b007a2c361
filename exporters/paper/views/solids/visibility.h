// What hides what: triangles as seen, under a box tree.
#pragma once

#include <array>
#include <vector>

#include "exporters/paper/views/solids/view_geometry.h"

namespace leafstack {

/// As seen: mm to the right, up, and nearer to the eye.
struct SeenTriangle {
  std::array<Vec3, 3> corners{};
  int face = 0;         ///< of all faces in the view
  double error_mm = 0;  ///< of its surface
};

/// A face that a line lies on. A plain one never hides the line; another only where it is in front
/// by more than `slack_mm`.
struct OwnFace {
  int face = -1;
  bool is_plain = true;
  double slack_mm = 0;
};

struct SeenSegment {
  Vec3 from{}, to{};
  std::array<OwnFace, 2> own;
};

class HidingTriangles {
 public:
  /// Triangles seen edge-on hide nothing.
  explicit HidingTriangles(const std::vector<SeenTriangle>& triangles);

  /// Where `segment` is hidden, as shares of it from 0 to 1, in order and without overlaps. The
  /// work is bounded by the triangles that the segment crosses, as seen, and that reach in front of
  /// it. `last_hider` is tried first and replaced (-1 for none): neighbours are hidden by the same.
  /// It changes how long this takes, not what comes out.
  std::vector<Interval> hiddenStretches(const SeenSegment& segment, int& last_hider) const;

 private:
  struct Hider {
    std::array<std::array<double, 3>, 3> borders{};        ///< n . p + c >= 0 within; unit normals
    double x = 0, y = 0, z = 0, slope_x = 0, slope_y = 0;  ///< its plane
    double slack_mm = 0;
    int face = 0;
    Vec3 low{}, high{};
  };
  struct Node {
    Vec3 low{}, high{};
    int left = -1, right = -1, first = 0, count = 0;
  };
  /// What hiders are sorted by: a fraction of their size.
  struct Sorted {
    Vec3 low{}, high{};
    int hider = 0;
  };
  int build(std::vector<Sorted>& order, int first, int count);
  static bool hides(const Hider& hider, const SeenSegment& segment, Interval& where);

  std::vector<Hider> hiders_;
  std::vector<Node> nodes_;
};

/// In order; overlapping or touching ones become one.
std::vector<Interval> united(std::vector<Interval> intervals, double touching);

}  // namespace leafstack
