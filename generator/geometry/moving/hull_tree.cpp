#include "generator/geometry/moving/hull_tree.h"

#include <algorithm>
#include <limits>
#include <utility>

namespace leafstack {
namespace {

constexpr int kLeafPieces = 4;

constexpr double kFar = std::numeric_limits<double>::infinity();

Vec3 middle(const Bounds& box) {
  return plus(box.low, box.high);
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

namespace {

Bounds boxAround(const Piece& piece) {
  Bounds box = emptyBox();
  for (const Vec3& point : piece.points) {
    include(box, point);
  }
  return box;
}

}  // namespace

HullTree::HullTree(std::vector<Piece> pieces, double radius_mm)
    : pieces_(std::move(pieces)), radius_mm_(radius_mm) {
  std::vector<Sorted> order;
  order.reserve(pieces_.size());
  std::vector<Bounds> boxes;
  boxes.reserve(pieces_.size());
  for (const Piece& piece : pieces_) {
    boxes.push_back(boxAround(piece));
    order.push_back({middle(boxes.back()), static_cast<int>(order.size())});
  }
  nodes_.reserve(pieces_.size());
  buildNode(order, 0, static_cast<int>(order.size()));
  boxes_.reserve(pieces_.size());
  for (const Sorted& sorted : order) {
    boxes_.push_back(boxes[sorted.piece]);
  }
  putInOrder(order);
  measureNodes();
}

/// The tree's own, so that a leaf's pieces lie side by side. In place: fine meshes are large.
void HullTree::putInOrder(std::vector<Sorted>& order) {
  for (std::size_t start = 0; start < order.size(); ++start) {
    const Piece first = pieces_[start];
    std::size_t slot = start;
    while (order[slot].piece != static_cast<int>(start) && order[slot].piece >= 0) {
      const auto from = static_cast<std::size_t>(std::exchange(order[slot].piece, -1));
      pieces_[slot] = pieces_[from];
      slot = from;
    }
    if (order[slot].piece >= 0) {
      pieces_[slot] = first;
      order[slot].piece = -1;
    }
  }
}

/// Children come after their parents.
void HullTree::measureNodes() {
  for (auto node = nodes_.rbegin(); node != nodes_.rend(); ++node) {
    if (node->left >= 0) {
      node->box = nodes_[node->left].box;
      unite(node->box, nodes_[node->right].box);
      node->error_mm = std::max(nodes_[node->left].error_mm, nodes_[node->right].error_mm);
      continue;
    }
    for (int i = node->first; i < node->first + node->count; ++i) {
      unite(node->box, boxes_[i]);
      node->error_mm = std::max(node->error_mm, pieces_[i].error_mm);
    }
  }
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

int HullTree::buildNode(std::vector<Sorted>& order, int first, int count) {
  const int index = static_cast<int>(nodes_.size());
  nodes_.push_back({emptyBox(), 0, -1, -1, first, count});
  if (count <= kLeafPieces) {
    return index;
  }
  Vec3 least = {kFar, kFar, kFar};
  Vec3 most = {-kFar, -kFar, -kFar};
  for (int i = first; i < first + count; ++i) {
    for (int axis = 0; axis < 3; ++axis) {
      const double at = order[i].middle[axis];
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
                   order.begin() + first + count, [axis](const Sorted& p, const Sorted& q) {
                     const double one = p.middle[axis];
                     const double other = q.middle[axis];
                     return one != other ? one < other : p.piece < q.piece;
                   });
  const int left = buildNode(order, first, half);
  const int right = buildNode(order, first + half, count - half);
  Node& node = nodes_[index];
  node.left = left;
  node.right = right;
  return index;
}

}  // namespace leafstack
