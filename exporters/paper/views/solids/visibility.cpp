#include "exporters/paper/views/solids/visibility.h"

#include <algorithm>

namespace leafstack {
namespace {

// A face nearer to edge-on than this (cosine) is seen as a line.
constexpr double kEdgeOn = 1e-6;
// What lies no deeper than this behind a face touches it. Less than any gap that is built, more
// than the rounding errors of placements.
constexpr double kTouchMm = 0.01;
// The surface may lie its error outside or inside its triangles, more along a slanting line of
// sight; but nothing hides behind a face by being nearly edge-on.
constexpr double kMostSlackMm = 1.0;
// Triangles are taken so much wider that no line slips through between two of them.
constexpr double kSeamMm = 1e-6;
constexpr double kLeastShare = 1e-12;
constexpr int kLeafCount = 4;
constexpr int kUniteEvery = 32;
constexpr int kDeepTree = 64;

/// Keeps what of `where` has value + run * share >= 0.
inline bool clip(double value, double run, Interval& where) {
  const double at_from = value + run * where.from;
  const double at_to = value + run * where.to;
  if (at_from < 0 && at_to < 0) {
    return false;
  }
  if (at_from < 0) {
    where.from = -value / run;
  } else if (at_to < 0) {
    where.to = -value / run;
  }
  return where.to - where.from > kLeastShare;
}

/// A segment, and what of it every box is compared with.
struct Probe {
  const SeenSegment& segment;
  Vec3 low{}, high{};
  Vec3 run{};
  bool is_slanting = false;  ///< as seen: its own box is wider than it

  explicit Probe(const SeenSegment& of) : segment(of), run(minus(of.to, of.from)) {
    is_slanting = std::abs(run[0]) > kSeamMm && std::abs(run[1]) > kSeamMm;
    for (int axis = 0; axis < 3; ++axis) {
      low[axis] = std::min(of.from[axis], of.to[axis]) - kSeamMm;
      high[axis] = std::max(of.from[axis], of.to[axis]) + kSeamMm;
    }
  }
};

/// Whether a box meets the segment, as seen, and reaches in front of it there.
bool mayHide(const Vec3& low, const Vec3& high, const Probe& probe) {
  if (high[0] < probe.low[0] || low[0] > probe.high[0] || high[1] < probe.low[1] ||
      low[1] > probe.high[1] || high[2] < probe.low[2] + kTouchMm) {
    return false;
  }
  const Vec3& from = probe.segment.from;
  const Vec3& run = probe.run;
  if (!probe.is_slanting && high[2] > probe.high[2] + kTouchMm) {
    return true;  // in front of all of it
  }
  Interval where{0, 1};
  for (int axis : {0, 1}) {
    if (!clip(from[axis] - low[axis] + kSeamMm, run[axis], where) ||
        !clip(high[axis] + kSeamMm - from[axis], -run[axis], where)) {
      return false;
    }
  }
  const double deepest = from[2] + std::min(run[2] * where.from, run[2] * where.to);
  return high[2] > deepest + kTouchMm;
}

bool coversAll(const std::vector<Interval>& intervals) {
  return intervals.size() == 1 && intervals[0].from <= 0 && intervals[0].to >= 1;
}

}  // namespace

std::vector<Interval> united(std::vector<Interval> intervals, double touching) {
  std::sort(intervals.begin(), intervals.end(),
            [](const Interval& a, const Interval& b) { return a.from < b.from; });
  std::vector<Interval> result;
  for (const Interval& interval : intervals) {
    if (result.empty() || interval.from > result.back().to + touching) {
      result.push_back(interval);
    } else {
      result.back().to = std::max(result.back().to, interval.to);
    }
  }
  return result;
}

HidingTriangles::HidingTriangles(const std::vector<SeenTriangle>& triangles) {
  hiders_.reserve(triangles.size());
  for (const SeenTriangle& triangle : triangles) {
    auto [a, b, c] = triangle.corners;
    Vec3 normal = cross(minus(b, a), minus(c, a));
    const double length = norm(normal);
    if (std::abs(normal[2]) <= kEdgeOn * length || length == 0) {
      continue;
    }
    if (normal[2] < 0) {
      std::swap(b, c);
    }
    Hider hider;
    const std::array<Vec3, 3> corners = {a, b, c};
    for (int i = 0; i < 3; ++i) {
      const Vec3& from = corners[i];
      const Vec3& to = corners[(i + 1) % 3];
      const double side = std::hypot(to[0] - from[0], to[1] - from[1]);
      const double x = side > 0 ? (from[1] - to[1]) / side : 0;
      const double y = side > 0 ? (to[0] - from[0]) / side : 0;
      hider.borders[i] = {x, y, kSeamMm - x * from[0] - y * from[1]};
    }
    hider.x = a[0];
    hider.y = a[1];
    hider.z = a[2];
    hider.slope_x = -normal[0] / normal[2];
    hider.slope_y = -normal[1] / normal[2];
    hider.slack_mm =
        kTouchMm + std::min(triangle.error_mm * length / std::abs(normal[2]), kMostSlackMm);
    hider.face = triangle.face;
    for (int axis = 0; axis < 3; ++axis) {
      hider.low[axis] = std::min({a[axis], b[axis], c[axis]});
      hider.high[axis] = std::max({a[axis], b[axis], c[axis]});
    }
    hiders_.push_back(hider);
  }
  if (hiders_.empty()) {
    return;
  }
  std::vector<Sorted> order;
  order.reserve(hiders_.size());
  for (const Hider& hider : hiders_) {
    order.push_back({hider.low, hider.high, static_cast<int>(order.size())});
  }
  nodes_.reserve(2 * hiders_.size());
  build(order, 0, static_cast<int>(order.size()));
  std::vector<Hider> in_order;
  in_order.reserve(order.size());
  for (const Sorted& one : order) {
    in_order.push_back(hiders_[one.hider]);
  }
  hiders_.swap(in_order);
}

int HidingTriangles::build(std::vector<Sorted>& order, int first, int count) {
  Node node;
  node.low = order[first].low;
  node.high = order[first].high;
  for (int i = first + 1; i < first + count; ++i) {
    for (int axis = 0; axis < 3; ++axis) {
      node.low[axis] = std::min(node.low[axis], order[i].low[axis]);
      node.high[axis] = std::max(node.high[axis], order[i].high[axis]);
    }
  }
  const int index = static_cast<int>(nodes_.size());
  nodes_.push_back(node);
  if (count <= kLeafCount) {
    nodes_[index].first = first;
    nodes_[index].count = count;
    return index;
  }
  int axis = 0;
  for (int other : {1, 2}) {
    if (node.high[other] - node.low[other] > node.high[axis] - node.low[axis]) {
      axis = other;
    }
  }
  const auto at = [&](int i) { return order.begin() + i; };
  std::nth_element(at(first), at(first + count / 2), at(first + count),
                   [axis](const Sorted& a, const Sorted& b) {
                     return a.low[axis] + a.high[axis] < b.low[axis] + b.high[axis];
                   });
  const int left = build(order, first, count / 2);
  const int right = build(order, first + count / 2, count - count / 2);
  nodes_[index].left = left;
  nodes_[index].right = right;
  return index;
}

bool HidingTriangles::hides(const Hider& hider, const SeenSegment& segment, Interval& where) {
  double slack = hider.slack_mm;
  for (const OwnFace& own : segment.own) {
    if (own.face == hider.face) {
      if (own.is_plain) {
        return false;
      }
      slack = std::max(slack, own.slack_mm);
    }
  }
  const Vec3& from = segment.from;
  const Vec3 run = minus(segment.to, from);
  where = {0, 1};
  for (const auto& [x, y, c] : hider.borders) {
    if (!clip(x * from[0] + y * from[1] + c, x * run[0] + y * run[1], where)) {
      return false;
    }
  }
  const double in_front = hider.z + hider.slope_x * (from[0] - hider.x) +
                          hider.slope_y * (from[1] - hider.y) - from[2] - slack;
  return clip(in_front, hider.slope_x * run[0] + hider.slope_y * run[1] - run[2], where);
}

std::vector<Interval> HidingTriangles::hiddenStretches(const SeenSegment& segment,
                                                       int& last_hider) const {
  // A line is hidden from both sides of a seam between triangles up to rounding.
  constexpr double kSeamShare = 1e-9;
  std::vector<Interval> hidden;
  Interval whole;
  if (last_hider >= 0 && hides(hiders_[last_hider], segment, whole) && coversAll({whole})) {
    return {whole};
  }
  const Probe probe(segment);
  std::vector<int> open;
  open.reserve(kDeepTree);
  if (!nodes_.empty()) {
    open.push_back(0);
  }
  std::size_t unite_at = kUniteEvery;
  while (!open.empty()) {
    const Node& node = nodes_[open.back()];
    open.pop_back();
    if (!mayHide(node.low, node.high, probe)) {
      continue;
    }
    if (node.left >= 0) {
      // The nearer to the eye first: it hides most.
      const bool left_first = nodes_[node.left].high[2] > nodes_[node.right].high[2];
      open.push_back(left_first ? node.right : node.left);
      open.push_back(left_first ? node.left : node.right);
      continue;
    }
    for (int i = node.first; i < node.first + node.count; ++i) {
      Interval where;
      if (hides(hiders_[i], segment, where)) {
        hidden.push_back(where);
        last_hider = i;
      }
    }
    if (hidden.size() >= unite_at) {
      hidden = united(std::move(hidden), kSeamShare);
      unite_at = hidden.size() + kUniteEvery;
    }
    if (coversAll(hidden)) {
      break;
    }
  }
  return united(std::move(hidden), kSeamShare);
}

}  // namespace leafstack
