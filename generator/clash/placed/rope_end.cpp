#include "generator/clash/placed/rope_end.h"

#include <algorithm>
#include <utility>

namespace leafstack {
namespace {

/// Least distance of `point` from the straight way between two others.
double leastOff(const Vec3& point, const Vec3& from, const Vec3& to) {
  const Vec3 way = minus(to, from);
  const double squared = dot(way, way);
  const double share =
      squared > 0 ? std::clamp(dot(minus(point, from), way) / squared, 0.0, 1.0) : 0;
  return norm(minus(plus(from, way, share), point));
}

/// How the strand's beginning at the pulley goes, seen from the end. A point at share t of the
/// strand from the end deviates by t of what the beginning does, and those that matter are close to
/// the end.
class BeginningMotion : public RelativeMotion {
 public:
  BeginningMotion(HullTree::FarEnd far, const Piece& strand, double within_mm)
      : far_(std::move(far)),
        begins_(strand.points[0]),
        ends_(strand.points[1]),
        within_mm_(within_mm) {}

  Chord chord(const Stretch& stretch) const override {
    const Chord end = far_.motion->chord(stretch);
    Chord chord;
    chord.from.shift = minus(far_.at, end.from(far_.at));
    chord.to.shift = minus(far_.at, end.to(far_.at));
    const double shortest =
        leastOff(ends_, plus(begins_, chord.from.shift), plus(begins_, chord.to.shift));
    const double within = within_mm_ + end.deviation_mm;
    chord.deviation_mm =
        within < shortest ? end.deviation_mm * (within / shortest) : end.deviation_mm;
    return chord;
  }
  Stretch whole(const Stretch& asked) const override { return far_.motion->whole(asked); }

 private:
  HullTree::FarEnd far_;
  Vec3 begins_, ends_;
  double within_mm_;
};

/// Turns as the holder does, about the rope's end.
class TurnAbout : public RelativeMotion {
 public:
  TurnAbout(const BodyMotion& holder, const Vec3& about, double reach_mm)
      : holder_(holder), about_(about), reach_mm_(reach_mm) {}

  Chord chord(const Stretch& stretch) const override {
    Chord chord = holder_.turning(stretch, reach_mm_);
    for (Placement* place : {&chord.from, &chord.to}) {
      place->shift = minus(about_, place->turned(about_));
    }
    return chord;
  }
  Stretch whole(const Stretch& asked) const override { return holder_.whole(asked); }

 private:
  BodyMotion holder_;
  Vec3 about_;
  double reach_mm_;
};

HullTree strandSeenFromEnd(const HullTree& strand, const RopeEnd::Near& near) {
  const Piece& piece = strand.pieces().front();
  // The segment stops a radius before the end.
  const double within = near.reach_mm + 2 * strand.radiusMm() + near.enough_mm + piece.error_mm;
  return HullTree::strand(
      {{piece.points[1], piece.points[0], piece.points[0]}, piece.error_mm}, strand.radiusMm(),
      {piece.points[0], std::make_shared<BeginningMotion>(strand.farEnd(), piece, within)});
}

}  // namespace

RopeEnd::RopeEnd(const HullTree& strand, const HullTree& cut, const BodyMotion& holder,
                 const Placement& frame, const Near& near)
    : strand_(strandSeenFromEnd(strand, near)),
      cut_(cut.pieces(), cut.radiusMm()),
      far_(strand.farEnd()),
      motion_(std::make_unique<TurnAbout>(holder, frame(far_.at), near.reach_mm)) {}

Vec3 RopeEnd::goneBy(double drive_mm) const {
  return minus(far_.motion->chord({drive_mm, drive_mm}).from(far_.at), far_.at);
}

}  // namespace leafstack
