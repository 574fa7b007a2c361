// Two trees of convex pieces on one straight stretch of their motion: boxes, hulls, distances of
// pieces.
//
// On a straight stretch every point goes straight (relative_motion.h). Pieces that keep their shape
// and their turn to each other have a distance that is a convex function of travel, and their swept
// hull is exactly what they sweep. A straight stretch is `loose` where a piece turns or a strand
// bends: then the swept hull holds more than what is swept, by at most looseness(), which falls
// with the square of the length looked at.
#pragma once

#include <cmath>
#include <functional>
#include <optional>
#include <utility>

#include "generator/geometry/moving/separation.h"
#include "generator/geometry/moving/swept_pair.h"

namespace leafstack {

/// One straight stretch. Positions on it are shares, 0 to 1.
struct StraightStretch {
  Stretch stretch;
  Placement from, to;  ///< b's tree in a's
  HullTree::Grown a_grown, b_grown;
  double deviation_mm = 0;  ///< between a point of a and one of b, all told
  FreeShift free;           ///< of b, in the frame of a's tree

  double driveAt(double at) const {
    return stretch.from_mm + at * (stretch.to_mm - stretch.from_mm);
  }
  double shareAt(double drive) const;
  /// That part of it which lies within `asked`.
  StraightStretch clipped(const Stretch& asked) const;
};

/// Straight stretches that cover `asked`, halved until none deviates by more than the pair says;
/// not those, and not halves of those, that `is_far` says yes to.
void visitStraightStretches(const SweptPair& pair, const Stretch& asked,
                            const std::function<bool(const StraightStretch&)>& is_far,
                            const std::function<void(const StraightStretch&)>& visit);

/// Elementary steps: the comparison of two boxes is one, the others are worth about as many.
inline constexpr int kBoxSteps = 1;
inline constexpr int kPieceSteps = 8;
inline constexpr int kStretchSteps = 20;

class SweptTrees {
 public:
  SweptTrees(const SweptPair& pair, const StraightStretch& straight);

 protected:
  using Node = HullTree::Node;
  using NodePair = std::pair<int, int>;
  using Shares = std::array<double, 2>;

  /// Least distance of two boxes of the trees over the straight stretch.
  double boxGap(const Bounds& a, const Bounds& b) const {
    return is_plain_ ? gapBetween(a, b, least_, most_) : bentGap(a, b);
  }
  double gapOf(const NodePair& nodes) const {
    return boxGap(pair_.a.nodes()[nodes.first].box, pair_.b.nodes()[nodes.second].box);
  }
  /// Along the axis on which that is most, negative where they overlap, as the frame of `a` sees
  /// them.
  double signedGap(const Bounds& a, const Bounds& b) const;
  /// Shares of the straight stretch outside of which two boxes are further apart than `reach` (not
  /// negative); none if they always are.
  std::optional<Shares> nearShares(const Bounds& a, const Bounds& b, double reach) const;
  /// The larger of two nodes, not both leaves, split in two.
  std::array<NodePair, 2> childrenOf(int i, int j) const;

  /// Pieces i of a and j of b over a part of the straight stretch.
  Separation separation(int i, int j, const Shares& part, double enough, double little = 0) const;
  /// Quick: true only where separation() would say so of at_least_mm.
  bool areSurelyApart(int i, int j, const Shares& part, double by_mm) const {
    return stretch_.free.half_mm == Vec3{} && by_mm > 0 &&
           areApartAlongNormals(hullOfA(i, part), hullOfB(j, part), by_mm);
  }
  /// No distance at any position of the part exceeds the swept hulls' by more.
  double looseness(int i, int j, const Shares& part) const;
  bool isLoose() const { return loose_; }
  /// Steps of the pair's effort; false once it is spent.
  bool take(int steps) const { return pair_.effort == nullptr || pair_.effort->take(steps); }
  /// Nothing looser than the motion itself may deviate, nor any finer than ends are told apart.
  bool isTight(double looseness, const Shares& part) const;

  double errorOf(int i, int j) const {
    return pair_.a.pieces()[i].error_mm + pair_.b.pieces()[j].error_mm;
  }

  const SweptPair& pair_;
  const StraightStretch& stretch_;
  /// Of both radii and the deviation: what is taken off distances of pieces.
  double thickness_ = 0;

 private:
  /// What a tree's growth does to boxes over the straight stretch.
  struct SweptGrowth {
    bool grows = false, carried = false;
    Vec3 low{}, high{};  ///< of what is carried, by how much
    Bounds strand;       ///< all of a strand, which is one piece
    SweptGrowth(const HullTree& tree, const HullTree::Grown& grown);
    Bounds swept(const Bounds& box) const;
    int firstGrown() const { return !grows ? 3 : carried ? 0 : 1; }
  };

  /// Of a and of b shifted by all from `least` to `most`.
  static double gapBetween(const Bounds& a, const Bounds& b, const Vec3& least, const Vec3& most) {
    double squared = 0;
    for (int axis = 0; axis < 3; ++axis) {
      const double below = a.low[axis] - b.high[axis] - most[axis];
      const double above = b.low[axis] + least[axis] - a.high[axis];
      const double gap = below > above ? below : above;
      squared += gap > 0 ? gap * gap : 0;
    }
    return squared > 0 ? std::sqrt(squared) : 0;
  }
  /// Two boxes as a frame sees them: a, and b at both ends of the straight stretch.
  struct BoxesSeen {
    Bounds a, first, last;
    Vec3 reach{};  ///< of `free`
  };
  /// In a's frame, and in that which leans halfway along the straight stretch as b does: what is
  /// long and leans has a box that fits in its own frame only.
  BoxesSeen seenByA(const Bounds& a, const Bounds& b) const {
    return {a, placedBox(stretch_.from, b), placedBox(stretch_.to, b), reach_};
  }
  BoxesSeen seenByB(const Bounds& a, const Bounds& b) const {
    return {placedBox(a_leaning_, a), placedBox(from_leaning_, b), placedBox(to_leaning_, b),
            leaning_reach_};
  }
  double bentGap(const Bounds& a, const Bounds& b) const;
  double turnedGap(const Bounds& a, const Bounds& b) const;
  /// Leaves of `shares` what the boxes are within `reach` of each other.
  static void keepNear(const BoxesSeen& seen, double reach, Shares& shares);
  void lean();
  MovingHull hullOfA(int piece, const Shares& part) const;
  MovingHull hullOfB(int piece, const Shares& part) const;
  static void grow(MovingHull& hull, const Shares& part, const HullTree::Grown& grown,
                   int first_grown);
  void goAlong(MovingHull& hull, const Shares& part) const;
  void goAndTurn(MovingHull& hull, const Shares& part) const;

  SweptGrowth a_growth_, b_growth_;
  bool turned_, turning_, loose_, is_plain_;
  Vec3 reach_{};           ///< of `free` along each axis
  Vec3 least_{}, most_{};  ///< shift of b where it is not turned, `free` included
  Placement a_leaning_, from_leaning_, to_leaning_;  ///< into the frame that leans as b does
  Vec3 leaning_reach_{};
};

// What runs once for every two pieces looked at.

inline std::array<SweptTrees::NodePair, 2> SweptTrees::childrenOf(int i, int j) const {
  const Node& p = pair_.a.nodes()[i];
  const Node& q = pair_.b.nodes()[j];
  const bool split_a = q.left < 0 || (p.left >= 0 && p.count >= q.count);
  return split_a ? std::array<NodePair, 2>{{{p.left, j}, {p.right, j}}}
                 : std::array<NodePair, 2>{{{i, q.left}, {i, q.right}}};
}

inline MovingHull SweptTrees::hullOfA(int piece, const Shares& part) const {
  const auto& points = pair_.a.pieces()[piece].points;
  MovingHull hull{{points, points}, !a_growth_.grows};
  if (!hull.stands) {
    grow(hull, part, stretch_.a_grown, a_growth_.firstGrown());
  }
  return hull;
}

inline MovingHull SweptTrees::hullOfB(int piece, const Shares& part) const {
  const auto& points = pair_.b.pieces()[piece].points;
  MovingHull hull{{points, points}};
  hull.stands = !b_growth_.grows && !turning_ &&
                (part[0] == part[1] || stretch_.from.shift == stretch_.to.shift);
  if (turned_) {
    goAndTurn(hull, part);
    return hull;
  }
  if (b_growth_.grows) {
    grow(hull, part, stretch_.b_grown, b_growth_.firstGrown());
  }
  goAlong(hull, part);
  return hull;
}

inline void SweptTrees::grow(MovingHull& hull, const Shares& part, const HullTree::Grown& grown,
                             int first_grown) {
  const Vec3 run = minus(grown.by[1], grown.by[0]);
  for (int end = 0; end < 2; ++end) {
    const Vec3 by = plus(grown.by[0], run, part[end]);
    for (int point = first_grown; point < 3; ++point) {
      hull.points[end][point] = plus(hull.points[end][point], by);
    }
  }
}

inline void SweptTrees::goAlong(MovingHull& hull, const Shares& part) const {
  const Vec3 run = minus(stretch_.to.shift, stretch_.from.shift);
  for (int end = 0; end < (hull.stands ? 1 : 2); ++end) {
    const Vec3 shift = plus(stretch_.from.shift, run, part[end]);
    for (Vec3& point : hull.points[end]) {
      point = plus(point, shift);
    }
  }
}

inline Separation SweptTrees::separation(int i, int j, const Shares& part, double enough,
                                         double little) const {
  return leastSeparation(hullOfA(i, part), hullOfB(j, part), stretch_.free, enough, little);
}

}  // namespace leafstack
