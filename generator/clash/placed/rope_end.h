// A rope and what holds it, as seen from where it is held.
//
// Seen from its carrier a bracket goes along the whole rope, and so does the rope's end, each with
// a deviation of its own (relative_motion.h). Both go together: in a frame that goes with the
// rope's end and stays turned as the carrier is, the end stands, what is fixed to the bracket only
// turns about it, and of the strand only its far part goes somewhere. Nothing is taken for another
// shape or another way; what is close to the end just deviates that much less.
#pragma once

#include <memory>

#include "generator/clash/placed/body_motions.h"
#include "generator/geometry/moving/hull_tree.h"

namespace leafstack {

class RopeEnd {
 public:
  /// `strand` and `cut`: a strand of a rope and its end (RopeTrees). What is looked at keeps within
  /// `reach_mm` of the strand's end, and only what comes nearer to it than `enough_mm` matters.
  struct Near {
    double reach_mm = 0, enough_mm = 0;
  };
  /// `holder`: of the body that holds it, seen from the carrier. `frame`: the rope's own in the
  /// gate's. Trees are copied.
  RopeEnd(const HullTree& strand, const HullTree& cut, const BodyMotion& holder,
          const Placement& frame, const Near& near);

  const HullTree& strand() const { return strand_; }
  const HullTree& cut() const { return cut_; }
  /// Of what the holder carries.
  const RelativeMotion& motion() const { return *motion_; }
  /// Where the end is, off its place at closed, in the rope's own frame.
  Vec3 goneBy(double drive_mm) const;

 private:
  HullTree strand_, cut_;
  HullTree::FarEnd far_;
  std::unique_ptr<const RelativeMotion> motion_;
};

}  // namespace leafstack
