#include "generator/geometry/moving/hull_tree.h"

#include <algorithm>
#include <limits>
#include <numeric>

namespace leafstack {
namespace {

constexpr int kLeafPieces = 4;

constexpr double kFar = std::numeric_limits<double>::infinity();

double middle(const Bounds& box, int axis) {
  return box.low[axis] + box.high[axis];
}

void unite(Bounds& box, const Bounds& other) {
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] = std::min(box.low[axis], other.low[axis]);
    box.high[axis] = std::max(box.high[axis], other.high[axis]);
  }
}

}  // namespace

Bounds emptyBox() {
  return {{kFar, kFar, kFar}, {-kFar, -kFar, -kFar}};
}

void include(Bounds& box, const Vec3& point) {
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] = std::min(box.low[axis], point[axis]);
    box.high[axis] = std::max(box.high[axis], point[axis]);
  }
}

HullTree::HullTree(std::vector<Piece> pieces, double radius_mm)
    : pieces_(std::move(pieces)), radius_mm_(radius_mm) {
  boxes_.reserve(pieces_.size());
  for (const Piece& piece : pieces_) {
    boxes_.push_back(emptyBox());
    for (const Vec3& point : piece.points) {
      include(boxes_.back(), point);
    }
  }
  std::vector<int> order(pieces_.size());
  std::iota(order.begin(), order.end(), 0);
  nodes_.reserve(pieces_.size());
  buildNode(order, 0, static_cast<int>(order.size()));
  // In the tree's own order, so that a leaf's pieces lie side by side.
  std::vector<Piece> sorted;
  std::vector<Bounds> sorted_boxes;
  sorted.reserve(pieces_.size());
  sorted_boxes.reserve(pieces_.size());
  for (int i : order) {
    sorted.push_back(pieces_[i]);
    sorted_boxes.push_back(boxes_[i]);
  }
  pieces_.swap(sorted);
  boxes_.swap(sorted_boxes);
}

HullTree HullTree::strand(const Piece& near_to_far, double radius_mm, FarEnd end) {
  HullTree tree({near_to_far}, radius_mm);
  tree.end_ = std::move(end);
  return tree;
}

HullTree HullTree::carried(std::vector<Piece> pieces, FarEnd end) {
  HullTree tree(std::move(pieces));
  tree.end_ = std::move(end);
  tree.is_carried_ = true;
  return tree;
}

namespace {

HullTree::FarEnd alongX(const Vec3& at, double growth) {
  return growth == 0 ? HullTree::FarEnd{}
                     : HullTree::FarEnd{at, std::make_shared<StraightMotion>(Vec3{growth, 0, 0})};
}

}  // namespace

HullTree HullTree::strand(const Vec3& near, const Vec3& far, double radius_mm, double growth) {
  return strand({{near, far, far}, 0}, radius_mm, alongX(far, growth));
}

HullTree HullTree::carried(std::vector<Piece> pieces, double growth) {
  return carried(std::move(pieces), alongX({0, 0, 0}, growth));
}

HullTree::Grown HullTree::grown(const Stretch& stretch) const {
  if (!grows()) {
    return {};
  }
  const Chord chord = end_.motion->chord(stretch);
  return {{minus(chord.from(end_.at), end_.at), minus(chord.to(end_.at), end_.at)},
          chord.deviation_mm};
}

HullTree HullTree::standingAt(double drive_mm) const {
  if (!grows()) {
    return *this;
  }
  const Vec3 by = grown({drive_mm, drive_mm}).by[0];
  std::vector<Piece> pieces = pieces_;
  for (Piece& piece : pieces) {
    for (int point = is_carried_ ? 0 : 1; point < 3; ++point) {
      piece.points[point] = plus(piece.points[point], by);
    }
  }
  return HullTree(std::move(pieces), radius_mm_);
}

int HullTree::buildNode(std::vector<int>& order, int first, int count) {
  const int index = static_cast<int>(nodes_.size());
  nodes_.push_back({emptyBox(), 0, -1, -1, first, count});
  if (count <= kLeafPieces) {
    Node& leaf = nodes_[index];
    for (int i = first; i < first + count; ++i) {
      unite(leaf.box, boxes_[order[i]]);
      leaf.error_mm = std::max(leaf.error_mm, pieces_[order[i]].error_mm);
    }
    return index;
  }
  Vec3 least = {kFar, kFar, kFar};
  Vec3 most = {-kFar, -kFar, -kFar};
  for (int i = first; i < first + count; ++i) {
    for (int axis = 0; axis < 3; ++axis) {
      const double at = middle(boxes_[order[i]], axis);
      least[axis] = std::min(least[axis], at);
      most[axis] = std::max(most[axis], at);
    }
  }
  int axis = 0;
  for (int candidate = 1; candidate < 3; ++candidate) {
    if (most[candidate] - least[candidate] > most[axis] - least[axis]) {
      axis = candidate;
    }
  }
  const int half = count / 2;
  std::nth_element(order.begin() + first, order.begin() + first + half,
                   order.begin() + first + count, [&](int p, int q) {
                     const double one = middle(boxes_[p], axis);
                     const double other = middle(boxes_[q], axis);
                     return one != other ? one < other : p < q;
                   });
  const int left = buildNode(order, first, half);
  const int right = buildNode(order, first + half, count - half);
  Node& node = nodes_[index];
  node.left = left;
  node.right = right;
  node.box = nodes_[left].box;
  unite(node.box, nodes_[right].box);
  node.error_mm = std::max(nodes_[left].error_mm, nodes_[right].error_mm);
  return index;
}

}  // namespace leafstack
