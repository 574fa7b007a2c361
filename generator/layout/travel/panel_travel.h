// How panels ride on two wheels over a line of the ground, and how guide blocks float between two
// bodies; the clearance left under a panel.
//
// Frame: X along the track and Z up, mm (layout.h); drive travel as in travel.h, 0 or more.
#pragma once

#include <array>
#include <memory>
#include <optional>

#include "generator/layout/travel/ground_line.h"
#include "generator/layout/travel/travel.h"

namespace leafstack {

/// Two equal wheels under a panel. The leading one is the one whose X the ropes govern.
struct PanelOnWheels {
  double leading_x_mm = 0;  ///< X of the leading wheel's centre, closed
  double base_mm = 0;       ///< between wheel centres, along the rail, > 0
  double speed_ratio = 1;   ///< mm of X for every mm of drive travel
  int trailing_side = 1;    ///< trailing wheel towards +X (1) or -X (-1)
  /// Mm of X beyond that, over drive travel, 0 at closed; none: exactly by the speed ratio.
  std::optional<GroundLine> ahead{};
};

/// A rigid panel whose leading wheel goes in X as its speed ratio says, and what it is ahead of
/// that; the trailing one is where the distance between the wheels puts it on the path. Pivot:
/// leading wheel's centre.
class PanelTravel : public BodyTravel {
 public:
  /// Throws std::invalid_argument where a wheel does not fit into a dip (WheelPath::tooTightAt),
  /// the line is 45 degrees steep or steeper, or the base is not positive.
  PanelTravel(WheelPath path, const PanelOnWheels& wheels);

  Pose at(double drive_mm) const override;
  /// Holds with room for rounding; grows tight as the stretch gets short. Exact on straight ground.
  TravelRates rates(double from_mm, double to_mm) const override;
  std::array<double, 2> pivot_mm() const override { return closed_.leading.centre_mm; }
  std::optional<std::array<double, 2>> velocity() const override;

  struct Wheels {
    WheelStand leading, trailing;
  };
  Wheels wheelsAt(double drive_mm) const { return wheelsWhere(leadingX(drive_mm)); }
  /// X of the leading wheel's centre, with and without what it is ahead.
  double leadingX(double drive_mm) const {
    return evenLeadingX(drive_mm) + (wheels_.ahead ? wheels_.ahead->heightMm(drive_mm) : 0);
  }
  double evenLeadingX(double drive_mm) const {
    return wheels_.leading_x_mm + wheels_.speed_ratio * drive_mm;
  }
  /// The pose in which the leading wheel's centre is there.
  Pose poseWhere(double leading_x_mm) const;
  /// Slope angle of the line through the wheel centres, +X towards +Z.
  double pitch_rad(double drive_mm) const { return pitchOf(wheelsAt(drive_mm)); }

 private:
  Wheels wheelsWhere(double leading_x_mm) const;
  double pitchOf(const Wheels& wheels) const;

  WheelPath path_;
  PanelOnWheels wheels_;
  double steepest_;  ///< greatest slope of the line either way
  Wheels closed_;
};

/// Where a guide block is, closed: on a straight rail fixed to one body, in a straight channel
/// fixed to another. Directions need not have unit length, but must cross.
struct FloatingBlock {
  std::array<double, 2> at_mm{};  ///< where the middle lines of rail and channel cross
  std::array<double, 2> rail{1, 0}, channel{0, 1};
};

/// A guide block: slides along its rail and in its channel, turns with its rail. Pivot: the
/// crossing. The bodies must turn less than 90 degrees.
class FloatingBlockTravel : public BodyTravel {
 public:
  /// Throws std::invalid_argument if rail and channel do not cross.
  FloatingBlockTravel(std::shared_ptr<const BodyTravel> rail,
                      std::shared_ptr<const BodyTravel> channel, const FloatingBlock& block);

  Pose at(double drive_mm) const override;
  /// Holds as far as the rates of both bodies do; grows tight as the stretch gets short. Without
  /// bounds (infinite) where rail and channel might become parallel.
  TravelRates rates(double from_mm, double to_mm) const override;
  std::array<double, 2> pivot_mm() const override { return block_.at_mm; }
  std::optional<std::array<double, 2>> velocity() const override { return velocity_; }

  /// How far the block has moved along its channel, upwards positive; 0 closed.
  double floatMm(double drive_mm) const;
  /// Bounds of the float's rate, mm for every mm of drive travel.
  Range floatRate(double from_mm, double to_mm) const;
  /// Least and greatest float from closed to `travel_mm`: exact where both bodies go straight, else
  /// at most 0.001 mm short of the true ends, by the rates. Throws std::runtime_error where the
  /// rates cannot settle that.
  Range floatRange(double travel_mm) const;

 private:
  struct Motion;
  Motion motionOver(double from_mm, double to_mm) const;

  std::shared_ptr<const BodyTravel> rail_, channel_;
  FloatingBlock block_;  ///< directions of unit length, the channel's upwards
  std::optional<std::array<double, 2>> velocity_;
  double straight_float_ = 0;  ///< per mm of drive travel, where both go straight
};

/// A straight underside, closed, from one end to the other. Never plumb.
struct UnderSegment {
  double x0_mm = 0, z0_mm = 0, x1_mm = 0, z1_mm = 0;
};

struct GroundClearance {
  double clearance_mm = 0;        ///< plumb, negative where the ground stands higher
  double drive_mm = 0, x_mm = 0;  ///< where it is so little
};

/// At one position: exact to rounding.
GroundClearance groundClearanceAt(const BodyTravel& body, const GroundLine& ground,
                                  const UnderSegment& underside, double drive_mm);

/// Least from closed to `travel_mm`: sought at every 2 mm of drive travel or closer, and from there
/// to the bottom of each dip. Always the clearance of a real position, so never less than the true
/// least; more by at most 4 mm^2 / 8 times the clearance's second derivative (about 0.001 mm for a
/// panel at ratio 4 on ground that bends by 1/10 000 per mm) if a dip escaped between two
/// positions, else by less than 1e-6 mm.
GroundClearance leastGroundClearance(const BodyTravel& body, const GroundLine& ground,
                                     const UnderSegment& underside, double travel_mm);

}  // namespace leafstack
