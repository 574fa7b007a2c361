// Two trees of convex pieces on one leg of their motion: boxes, hulls, distances of pieces.
//
// On a leg every point goes straight (relative_motion.h). Pieces that keep their shape and their
// turn to each other have a distance that is a convex function of travel, and their swept hull is
// exactly what they sweep. A leg is `loose` where a piece turns or a strand bends: then the swept
// hull holds more than what is swept, by at most looseness(), which falls with the square of the
// length looked at.
#pragma once

#include <functional>
#include <optional>
#include <utility>

#include "generator/clash/separation.h"
#include "generator/clash/sweep.h"

namespace leafstack {

/// One leg. Positions on it are shares, 0 to 1.
struct Leg {
  Stretch stretch;
  Placement from, to;  ///< b's tree in a's
  HullTree::Grown a_grown, b_grown;
  double deviation_mm = 0;  ///< between a point of a and one of b, all told
  Play free;                ///< of b, in the frame of a's tree

  double driveAt(double at) const {
    return stretch.from_mm + at * (stretch.to_mm - stretch.from_mm);
  }
  double shareAt(double drive) const;
  /// That part of it which lies within `asked`.
  Leg clipped(const Stretch& asked) const;
};

/// Legs that cover `asked`, halved until none strays by more than the pair says; not those, and not
/// halves of those, that `is_far` says yes to.
void visitLegs(const SweptPair& pair, const Stretch& asked,
               const std::function<bool(const Leg&)>& is_far,
               const std::function<void(const Leg&)>& visit);

class LegView {
 public:
  LegView(const SweptPair& pair, const Leg& leg);

 protected:
  using Node = HullTree::Node;
  using NodePair = std::pair<int, int>;
  using Shares = std::array<double, 2>;

  /// Least distance of two boxes of the trees over the leg.
  double boxGap(const Bounds& a, const Bounds& b) const;
  double gapOf(const NodePair& nodes) const {
    return boxGap(pair_.a.nodes()[nodes.first].box, pair_.b.nodes()[nodes.second].box);
  }
  /// Shares of the leg over which two boxes are within `reach` along every axis; none if never.
  std::optional<Shares> nearShares(const Bounds& a, const Bounds& b, double reach) const;
  /// The larger of two nodes, not both leaves, split in two.
  std::array<NodePair, 2> childrenOf(int i, int j) const;

  /// Pieces i of a and j of b over a part of the leg.
  Separation separation(int i, int j, const Shares& part, double enough) const;
  /// No distance at any position of the part exceeds the swept hulls' by more.
  double looseness(int i, int j, const Shares& part) const;
  bool isLoose() const { return loose_; }
  /// Nothing looser than the motion itself may stray, nor any finer than ends are told apart.
  bool isTight(double looseness, const Shares& part) const;

  double errorOf(int i, int j) const {
    return pair_.a.pieces()[i].error_mm + pair_.b.pieces()[j].error_mm;
  }

  const SweptPair& pair_;
  const Leg& leg_;
  /// Of both radii and the deviation: what is taken off distances of pieces.
  double thickness_ = 0;

 private:
  Bounds sweptBox(const Bounds& box, const HullTree& tree, const HullTree::Grown& grown) const;
  /// Box of b in a's frame at either end, before `free`.
  std::array<Bounds, 2> placedBoxes(const Bounds& b) const;
  MovingHull hullOfA(int piece, const Shares& part) const;
  MovingHull hullOfB(int piece, const Shares& part) const;

  bool grows_, turned_, turning_, loose_;
  Vec3 reach_{};           ///< of `free` along each axis
  Vec3 least_{}, most_{};  ///< shift of b where it is not turned, `free` included
};

}  // namespace leafstack
