// Convex pieces with a box tree over them: what the sweep searches.
#pragma once

#include <memory>
#include <vector>

#include "generator/geometry/bounds.h"
#include "generator/geometry/moving/relative_motion.h"
#include "generator/geometry/vec.h"

namespace leafstack {

/// A triangle, segment or point of a surface. Every point of the true surface lies within
/// `error_mm` of some piece, and the other way round.
struct Piece {
  std::array<Vec3, 3> points{};
  double error_mm = 0;
};

class HullTree {
 public:
  struct Node {
    Bounds box;                 ///< of the pieces, without radius and error
    double error_mm = 0;        ///< greatest of its pieces
    int left = -1, right = -1;  ///< children, or -1 for a leaf
    int first = 0, count = 0;   ///< its pieces
  };

  HullTree() = default;
  /// `radius_mm` thickens every piece: 1.5 for the centre line of a rope of 3.
  explicit HullTree(std::vector<Piece> pieces, double radius_mm = 0);
  /// What the far end of a strand is fixed to: a point at closed, carried by `motion`, both in the
  /// tree's frame.
  struct FarEnd {
    Vec3 at{};
    std::shared_ptr<const RelativeMotion> motion;
  };
  /// A strand of rope from `near`, which stands, to `far`, which goes as its end goes.
  static HullTree strand(const Piece& near_to_far, double radius_mm, FarEnd end);
  /// What goes with a strand's far end, without turning.
  static HullTree carried(std::vector<Piece> pieces, FarEnd end);
  /// The same for an end that goes along X by `growth` for every mm of drive travel.
  static HullTree strand(const Vec3& near, const Vec3& far, double radius_mm, double growth);
  static HullTree carried(std::vector<Piece> pieces, double growth);

  /// The same as it is at one position of the drive, growing no more.
  HullTree standingAt(double drive_mm) const;

  const std::vector<Piece>& pieces() const { return pieces_; }
  const Bounds& boxOf(int piece) const { return boxes_[piece]; }
  const std::vector<Node>& nodes() const { return nodes_; }
  const Bounds& bounds() const { return nodes_.front().box; }
  double radiusMm() const { return radius_mm_; }
  double errorMm() const { return nodes_.front().error_mm; }
  /// How far, over a stretch, the far end (points 1 and 2 of a strand, every point of what is
  /// carried) is from where it is at closed; between the ends it goes straight but for a deviation.
  struct Grown {
    std::array<Vec3, 2> by{};
    double deviation_mm = 0;
  };
  bool grows() const { return end_.motion != nullptr; }
  Grown grown(const Stretch& stretch) const;
  bool isCarried() const { return is_carried_; }
  const FarEnd& farEnd() const { return end_; }
  /// The stretch whose halves and quarters its straight stretches are (RelativeMotion::whole).
  Stretch whole(const Stretch& asked) const { return grows() ? end_.motion->whole(asked) : asked; }

 private:
  /// What pieces are sorted by, beside each other in memory: twice the middle of the box.
  struct Sorted {
    Vec3 middle{};
    int piece = 0;
  };
  /// Without boxes and errors, which measureNodes() sets.
  int buildNode(std::vector<Sorted>& order, int first, int count);
  void putInOrder(std::vector<Sorted>& order);
  void measureNodes();

  std::vector<Piece> pieces_;
  std::vector<Bounds> boxes_;  ///< by piece
  std::vector<Node> nodes_;
  double radius_mm_ = 0;
  FarEnd end_;
  bool is_carried_ = false;
};

Bounds emptyBox();
void include(Bounds& box, const Vec3& point);

}  // namespace leafstack
