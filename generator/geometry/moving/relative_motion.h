// How one body moves as another sees it, straight stretch by straight stretch.
//
// Over a straight stretch each point of the body is taken to go straight from where it is at the
// one end to where it is at the other. For a translation at an even speed that is the truth. For
// any other motion the straight stretch says how far a point may deviate from it, and straight
// stretches are halved until that is little (straight_stretches.h).
#pragma once

#include "generator/geometry/bounds.h"
#include "generator/geometry/pose.h"
#include "generator/geometry/vec.h"

namespace leafstack {

/// From one position of the drive to another, mm of drive travel.
struct Stretch {
  double from_mm = 0, to_mm = 0;
};

/// Turned about the Y axis (+X towards +Z), then shifted.
struct Placement {
  Vec3 shift{};
  double cos = 1, sin = 0;

  bool turns() const { return cos != 1 || sin != 0; }
  Vec3 turned(const Vec3& v) const {
    return {cos * v[0] - sin * v[2], v[1], sin * v[0] + cos * v[2]};
  }
  /// Of a vector given in the turned frame's axes, what the frame outside calls it, and back.
  Vec3 turnedBack(const Vec3& v) const {
    return {cos * v[0] + sin * v[2], v[1], cos * v[2] - sin * v[0]};
  }
  Vec3 operator()(const Vec3& point) const { return plus(turned(point), shift); }
};

/// `first`, then `second`.
Placement combined(const Placement& second, const Placement& first);
Placement inverse(const Placement& placement);
Placement placementOf(const Pose& pose);
/// Carries every point to where it is that `share` of the way from `p` to `q`, straight between
/// them: for two that turn differently no rigid motion, but all the same of this form.
Placement between(const Placement& p, const Placement& q, double share);
/// From the frame `place` to `frame`, both as they are at closed, once what is in `place` has moved
/// by `motion`. Frames that are turned alike are not turned to each other at all, rounding or not.
Placement seenFrom(const Placement& frame, const Placement& motion, const Placement& place);
/// The axis-parallel box about a box that is placed.
Bounds placedBox(const Placement& placement, const Bounds& box);

/// Body b as body a sees it, from its place at closed, in a's frame at closed.
struct Chord {
  Placement from, to;
  double deviation_mm =
      0;  ///< no point of b deviates further from its straight way, at no position
  /// How far a's own frame has turned at the beginning, and by how much that may change.
  double frame_cos = 1, frame_sin = 0, frame_within_rad = 0;
};

class RelativeMotion {
 public:
  virtual ~RelativeMotion() = default;
  /// The deviation has to shrink with the stretch, to 0 where the two ends are one.
  virtual Chord chord(const Stretch& stretch) const = 0;
  /// Straight stretches are halves, quarters and so on of this, and of it only what is asked: the
  /// same straight stretches whatever is asked can be kept.
  virtual Stretch whole(const Stretch& asked) const { return asked; }
};

/// `velocity` mm for every mm of drive travel.
class StraightMotion : public RelativeMotion {
 public:
  explicit StraightMotion(const Vec3& velocity) : velocity_(velocity) {}
  Chord chord(const Stretch& stretch) const override {
    return {{plus({0, 0, 0}, velocity_, stretch.from_mm)},
            {plus({0, 0, 0}, velocity_, stretch.to_mm)}};
  }

 private:
  Vec3 velocity_;
};

}  // namespace leafstack
