// How a model's bodies move relative to each other, in the model's frame (model.h), with the bound
// of how far their points deviate from chords of their ways.
//
// The bound. On one straight stretch of length D body a turns by phi_a and has its pivot at q_a,
// body b likewise; v goes from b's pivot to a point of b at closed; R(phi) turns by phi, J by a
// quarter; ' is by mm of drive travel. From a's frame the point is at
//     r  = R(-phi_a) (Q + R(phi_b) v),                                  Q = q_b - q_a,
//     r' = R(-phi_a) W + w J R(phi_b - phi_a) v,   W = Q' - phi_a' J Q,  w = phi_b' - phi_a'.
// A function of travel whose derivative lies between m and M keeps within D (M - m) / 4 of its
// chord: the chord's slope c lies between them too, so from either end it cannot leave the chord
// faster than c - m one way and M - c the other, and both ends together allow D (c - m) (M - c) /
// (M - m). That holds along every direction, so the point keeps within D / 4 times the diameter of
// all values r' has on the straight stretch. With |x| for the greatest magnitude on the straight
// stretch and d(x) for the diameter of what x takes up there, differences of products give
//     d(r') <= d(W) + D |phi_a'| |W| + |v| (d(w) + D |w|^2),
//     d(W)  <= d(Q') + d(phi_a') |Q| + D |phi_a'| |Q'|,    |W| <= |Q'| + |phi_a'| |Q|,
// all of which follows from TravelRates and the poses at the straight stretch's ends. It falls with
// D squared.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>
#include <vector>

#include "generator/geometry/moving/relative_motion.h"
#include "generator/model/model.h"

namespace leafstack {

/// Straight stretches of two bodies' relative motion that is not straight; kept, since many pairs
/// of parts ask for the same.
class BentStretches;

/// Body b as seen from body a, for what is no further than a reach from b's pivot.
class BodyMotion : public RelativeMotion {
 public:
  explicit BodyMotion(const Vec3& velocity) : straight_(velocity) {}
  BodyMotion(const BentStretches& bent, double reach_mm)
      : straight_({0, 0, 0}), bent_(&bent), reach_mm_(reach_mm) {}
  Chord chord(const Stretch& stretch) const override;
  /// Of a motion that turns: its turn alone, of what keeps within `reach_mm` of what it turns
  /// about.
  Chord turning(const Stretch& stretch, double reach_mm) const;
  bool isStraight() const { return bent_ == nullptr; }
  Stretch whole(const Stretch& asked) const override;

 private:
  StraightMotion straight_;
  const BentStretches* bent_ = nullptr;
  double reach_mm_ = 0;
};

/// May be asked by several threads at once.
class BodyMotions {
 public:
  /// `model` must outlive it.
  explicit BodyMotions(const Model& model);
  ~BodyMotions();

  /// Where everything goes straight, reaches do not matter.
  bool allStraight() const { return all_straight_; }
  bool isStraight(int a, int b) const { return a == b || (velocities_[a] && velocities_[b]); }
  /// Of b as seen from a, mm for every mm of drive travel. Only where isStraight().
  Vec3 velocity(int a, int b) const;
  /// From where it is at closed, in the gate's frame.
  Placement at(int body, double drive_mm) const {
    return placementOf(model_.poseAt(body, drive_mm));
  }
  Placement relative(int a, int b, double drive_mm) const;
  /// X and Z of the body's pivot at closed.
  std::array<double, 2> pivot(int body) const;
  /// `reach_mm`: no point of what is carried with b is further from b's pivot, in the XZ plane.
  /// Valid as long as this object.
  BodyMotion motion(int a, int b, double reach_mm) const;

 private:
  const Model& model_;
  std::vector<std::optional<Vec3>> velocities_;  ///< by body, where it goes straight
  bool all_straight_ = true;
  mutable std::mutex mutex_;  ///< of the map
  mutable std::map<std::pair<int, int>, std::unique_ptr<BentStretches>> bent_;
};

}  // namespace leafstack
