// The line of the ground along the track, and the curve that a wheel's centre follows above it.
//
// Frame: X along the track and Z up, mm (layout.h). No kernel.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "generator/layout/travel/travel.h"

namespace leafstack {

/// Height, slope (mm per mm of X) and bend (slope's change per mm of X) of a line at one X.
struct GroundPoint {
  double height_mm = 0, slope = 0, bend_per_mm = 0;
};

/// Height of a line over X, defined for every X.
class GroundLine {
 public:
  /// z = grade * x.
  static GroundLine straight(double grade);
  /// The natural cubic spline through surveyed points {x, z}, going on straight beyond the first
  /// and the last: the shape of a bar bent over the points and held there. Points on one straight
  /// line give exactly that line. At least 2 points, X strictly increasing, any spacing; throws
  /// std::invalid_argument otherwise.
  static GroundLine through(const std::vector<std::array<double, 2>>& points_mm);

  GroundPoint at(double x_mm) const;
  double heightMm(double x_mm) const { return at(x_mm).height_mm; }
  double slope(double x_mm) const { return at(x_mm).slope; }
  double bend(double x_mm) const { return at(x_mm).bend_per_mm; }

  /// Least and greatest from x0 to x1, in either order, exact to rounding.
  Range slopeRange(double x0_mm, double x1_mm) const;
  Range heightRange(double x0_mm, double x1_mm) const;
  /// Over every X.
  Range slopeRange() const;

  /// Where from x0 to x1 (x0 <= x1) the slope is this; nothing for stretches all of this slope.
  std::vector<double> whereSlopeIs(double slope, double x0_mm, double x1_mm) const;

  /// The same so much higher.
  GroundLine raised(double by_mm) const;

  bool isStraight() const { return pieces_.size() == 1; }

  /// X from `from_mm` to `to_mm`, both included, close enough for chords between them to keep
  /// within `sagitta_mm` (> 0) of the line. What lies between the ends does not depend on them.
  std::vector<double> stations(double from_mm, double to_mm, double sagitta_mm) const;

  /// An X at which the curvature (positive in dips) reaches the given one, > 0 per mm; also one at
  /// which it may come within rounding of it.
  std::optional<double> whereCurvatureReaches(double curvature_per_mm) const;

 private:
  /// z + t (slope + t (half_bend + t twist)), t = x - start, from its start to that of the next;
  /// the first reaches back without end.
  struct Piece {
    double start_mm = 0, z_mm = 0, slope = 0, half_bend = 0, twist = 0;

    GroundPoint at(double x_mm) const;
  };

  std::size_t indexAt(double x_mm) const;
  double endOf(std::size_t index) const;

  std::vector<Piece> pieces_;
};

/// Where a wheel stands: the X where it touches the line, its centre, and the path's slope there.
struct WheelStand {
  double contact_x_mm = 0;
  std::array<double, 2> centre_mm{};
  double slope = 0;
};

/// The curve at a distance square above a line: where the centre of a wheel goes. Good as long as
/// the wheel fits into every dip, see tooTightAt().
class WheelPath {
 public:
  /// `off_mm`, from the line to the centre, is 0 or more.
  WheelPath(GroundLine line, double off_mm);

  double centreHeightMm(double centre_x_mm) const { return at(centre_x_mm).centre_mm[1]; }
  double slope(double centre_x_mm) const { return at(centre_x_mm).slope; }
  /// Least and greatest slope from one centre X to another, in either order.
  Range slopeRange(double x0_mm, double x1_mm) const;

  WheelStand at(double centre_x_mm) const;
  /// The wheel whose centre is `base_mm` (> 0) away from the centre of `other`, towards +X (side 1)
  /// or -X (side -1). Good for slopes below 1.
  WheelStand atDistance(const WheelStand& other, double base_mm, int side) const;

  /// An X of the line at which a dip is rounder than the wheel, so that it would touch on both
  /// sides of it.
  std::optional<double> tooTightAt() const;

  const GroundLine& line() const { return line_; }
  double off_mm() const { return off_mm_; }

 private:
  WheelStand standAt(double contact_x_mm) const;

  GroundLine line_;
  double off_mm_;
};

}  // namespace leafstack
