// What the sweep asks of a straight stretch as a whole before it looks at all of its pieces: are
// any of them near, and which.
#pragma once

#include <algorithm>
#include <array>

#include "generator/geometry/moving/straight_stretches.h"

namespace leafstack {

/// Pieces that were too near on another straight stretch: where they are on the next one too,
/// nothing else has to be looked at. None yet: negative.
struct Culprits {
  int a = -1, b = -1;
};

/// Are two bodies further apart than asked over all of a straight stretch, however much that
/// deviates?
class ApartProof : SweptTrees {
 public:
  // Straight stretches that deviate more are halved before their pieces are looked at.
  static constexpr double kTriedStrayMm = 2;
  // Comparisons after which a long straight stretch is halved rather than proved: it holds too
  // much.
  static constexpr int kTriedComparisons = 30000;

  /// `with_errors`: those of the meshes are taken off.
  ApartProof(const SweptPair& pair, const StraightStretch& straight, double apart_mm,
             bool with_errors, Culprits& culprits)
      : SweptTrees(pair, straight),
        apart_mm_(apart_mm + thickness_),
        with_errors_(with_errors),
        culprits_(culprits) {}

  bool holds() {
    return stretch_.deviation_mm <= kTriedStrayMm && !areCulpritsNear() &&
           holds({0, 0}, gapOf({0, 0}));
  }

 private:
  double asked(double error_mm) const { return apart_mm_ + (with_errors_ ? error_mm : 0); }

  bool areNear(int i, int j, double asked_mm) const {
    return !take(kPieceSteps) ||
           (!areSurelyApart(i, j, {0, 1}, asked_mm) &&
            separation(i, j, {0, 1}, asked_mm, asked_mm).at_least_mm < asked_mm);
  }

  bool areCulpritsNear() const {
    const auto [i, j] = culprits_;
    return i >= 0 && areNear(i, j, asked(errorOf(i, j)));
  }

  bool holds(const NodePair& nodes, double gap) {
    const Node& p = pair_.a.nodes()[nodes.first];
    const Node& q = pair_.b.nodes()[nodes.second];
    if (gap >= asked(p.error_mm + q.error_mm)) {
      return true;
    }
    if (p.left < 0 && q.left < 0) {
      return holdsForLeaves(p, q);
    }
    if (--comparisons_left_ < 0 || !take(2 * kBoxSteps)) {
      return false;
    }
    // Nearer boxes first: where it does not hold, that shows soonest.
    const auto next = childrenOf(nodes.first, nodes.second);
    const std::array<double, 2> gaps = {gapOf(next[0]), gapOf(next[1])};
    const int nearer = gaps[1] < gaps[0] ? 1 : 0;
    return holds(next[nearer], gaps[nearer]) && holds(next[1 - nearer], gaps[1 - nearer]);
  }

  bool holdsForLeaves(const Node& p, const Node& q) const {
    if (!take(kBoxSteps * p.count * q.count)) {
      return false;
    }
    for (int i = p.first; i < p.first + p.count; ++i) {
      for (int j = q.first; j < q.first + q.count; ++j) {
        const double asked_mm = asked(errorOf(i, j));
        if (boxGap(pair_.a.boxOf(i), pair_.b.boxOf(j)) < asked_mm && areNear(i, j, asked_mm)) {
          culprits_ = {i, j};
          return false;
        }
      }
    }
    return true;
  }

  double apart_mm_;
  bool with_errors_;
  Culprits& culprits_;
  int comparisons_left_ = kTriedComparisons;
};

/// Looks at one position of a straight stretch for any two pieces that are nearer than a limit,
/// which is less work than over all of it: boxes are no larger than what they hold.
class HitSearch : SweptTrees {
 public:
  static constexpr int kMostLooks = 3000;

  /// `straight`: of no length.
  HitSearch(const SweptPair& pair, const StraightStretch& straight, double limit, bool with_errors)
      : SweptTrees(pair, straight), limit_(limit + thickness_), with_errors_(with_errors) {}

  /// Those pieces; negative where there are none, or it has looked at enough. `last`: that were
  /// near before, one of which often still is, negative for none.
  Culprits run(const Culprits& last) {
    if (last.b >= 0) {
      searchAlone(pair_.a, 0, pair_.b.boxOf(last.b), [&](int i) { look(i, last.b); });
      searchAlone(pair_.b, 0, pair_.a.boxOf(last.a), [&](int j) { look(last.a, j); });
    }
    search(0, 0);
    return hit_;
  }

 private:
  double limitOf(double error_mm) const { return limit_ + (with_errors_ ? error_mm : 0); }

  /// By how much boxes are apart along the axis on which that is most; less than 0 where they
  /// overlap.
  double depthOf(const NodePair& nodes) const {
    return signedGap(pair_.a.nodes()[nodes.first].box, pair_.b.nodes()[nodes.second].box);
  }

  void search(int i, int j) {
    const Node& p = pair_.a.nodes()[i];
    const Node& q = pair_.b.nodes()[j];
    if (hit_.a >= 0 || gapOf({i, j}) >= limitOf(p.error_mm + q.error_mm) || --looks_left_ < 0 ||
        !take(2 * kBoxSteps)) {
      return;
    }
    if (p.left < 0 && q.left < 0) {
      return lookAtLeaves(p, q);
    }
    const auto next = childrenOf(i, j);
    const bool second_first = depthOf(next[1]) < depthOf(next[0]);
    search(next[second_first].first, next[second_first].second);
    search(next[!second_first].first, next[!second_first].second);
  }

  /// Leaves of one tree that are near a piece of the other.
  template <class Look>
  void searchAlone(const HullTree& tree, int index, const Bounds& piece, const Look& look) {
    const Node& node = tree.nodes()[index];
    const double gap = &tree == &pair_.a ? boxGap(node.box, piece) : boxGap(piece, node.box);
    if (hit_.a >= 0 || gap >= limit_ + greatestError() || --looks_left_ < 0 || !take(kBoxSteps)) {
      return;
    }
    if (node.left < 0) {
      for (int i = node.first; i < node.first + node.count; ++i) {
        look(i);
      }
      return;
    }
    searchAlone(tree, node.left, piece, look);
    searchAlone(tree, node.right, piece, look);
  }
  double greatestError() const { return with_errors_ ? pair_.a.errorMm() + pair_.b.errorMm() : 0; }

  void lookAtLeaves(const Node& p, const Node& q) {
    for (int i = p.first; i < p.first + p.count; ++i) {
      for (int j = q.first; j < q.first + q.count; ++j) {
        look(i, j);
      }
    }
  }

  void look(int i, int j) {
    const double limit = limitOf(errorOf(i, j));
    if (hit_.a < 0 && take(kBoxSteps) && boxGap(pair_.a.boxOf(i), pair_.b.boxOf(j)) < limit &&
        --looks_left_ >= 0 && take(kPieceSteps) &&
        separation(i, j, {0, 1}, limit, limit).distance_mm < limit) {
      hit_ = {i, j};
    }
  }

  double limit_;
  bool with_errors_;
  int looks_left_ = kMostLooks;
  Culprits hit_;
};

}  // namespace leafstack
