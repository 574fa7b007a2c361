// A rope as the sweep takes it, and where it goes over the whole travel.
//
// Frame: the rope's own, in which its carrier stands still: strands from the pulley's sides along
// X, or nearly, where the ground moves their far ends up and down.
#pragma once

#include "generator/clash/placed/body_motions.h"
#include "generator/geometry/moving/hull_tree.h"
#include "generator/model/model.h"

namespace leafstack {

/// Two strands, their ends, which are cut square to X, and a half turn.
struct RopeTrees {
  HullTree front, front_end, turn, rear, rear_end;
};

/// A rope that has to bend by more where groove or stud holds it is not eased: own choice.
double mostRopeBendDeg(double radius_mm);

class RopeOverTravel {
 public:
  /// `frame`: the rope's own in the gate's. Throws GeometryError where the rope's solid (model.h)
  /// does not end where the bodies that hold it are. What is given must outlive it.
  RopeOverTravel(const Model& model, const BodyMotions& motions, const RopeRun& run,
                 const Placement& frame);

  RopeTrees thick(double radius_mm) const;
  /// Of all it takes up over the travel.
  Bounds bounds(double radius_mm) const;
  /// Both strands have length at every position.
  bool neverRunsOut() const { return never_runs_out_; }
  /// A rope bends where stud or groove hold it; drawn straight up to there it lies in what holds it
  /// by up to this, at the end where it bends most. 0 on even ground.
  double heldAsideMm() const;
  /// By how much it bends there.
  double bendDeg() const;

 private:
  struct Strand {
    Vec3 near{};
    HullTree::FarEnd far;
    double steepest = 0;  ///< rise off the X axis for every mm along it, at most
  };
  /// `closed_turn`: what holds the far end is turned so far against the carrier when closed.
  Strand follow(const Vec3& near, const Vec3& far, double closed_turn, const BodyMotion& motion);

  const Placement& frame_;
  double travel_mm_;
  Strand front_, rear_;
  std::vector<Piece> turn_;
  double turn_error_mm_ = 0;
  Bounds lines_;  ///< of the centre line
  bool never_runs_out_ = true;
  double held_turn_ = 0;  ///< rise per mm
};

}  // namespace leafstack
