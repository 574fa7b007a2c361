// A solid of revolution about an axis across the track, as another body sees it: however it turns
// about its axis it is the same solid, so it is taken not to turn at all. What is left is how its
// axis goes: boxes that are not turned, and pieces that keep their shape.
#pragma once

#include "generator/clash/placed/body_motions.h"

namespace leafstack {

class RoundMotion : public RelativeMotion {
 public:
  /// `motion`: of its body, for what is no further than its axis from the body's pivot. `axis`: a
  /// point of its axis at closed, in the gate's frame.
  RoundMotion(const BodyMotion& motion, const Vec3& axis) : motion_(motion), axis_(axis) {}

  Chord chord(const Stretch& stretch) const override {
    Chord chord = motion_.chord(stretch);
    chord.from = {minus(chord.from(axis_), axis_)};
    chord.to = {minus(chord.to(axis_), axis_)};
    return chord;
  }
  Stretch whole(const Stretch& asked) const override { return motion_.whole(asked); }

 private:
  BodyMotion motion_;
  Vec3 axis_;
};

}  // namespace leafstack
