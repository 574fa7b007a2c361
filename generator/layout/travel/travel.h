// How bodies move: for every position of the drive one rigid motion in the XZ plane.
//
// Frame: that of layout.h. Positions of the drive are mm of panel 1's horizontal travel, 0 closed.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <vector>

#include "generator/geometry/pose.h"
#include "generator/geometry/range.h"

namespace leafstack {

/// Bounds of a body's motion over a stretch of travel, to be relied on.
struct TravelRates {
  Range x, z;  ///< of the pivot, mm for every mm of drive travel
  Range turn;  ///< radians for every mm of drive travel
};

/// How one body moves. At closed every body is where it was built: at(0) is the identity.
class BodyTravel {
 public:
  virtual ~BodyTravel() = default;
  virtual Pose at(double drive_mm) const = 0;
  /// Holds at every position of the stretch.
  virtual TravelRates rates(double from_mm, double to_mm) const = 0;
  /// X and Z at closed of the point whose rates are given.
  virtual std::array<double, 2> pivot_mm() const { return {0, 0}; }
  /// Mm of X and Z for every mm of drive travel, where the body goes straight and does not turn.
  virtual std::optional<std::array<double, 2>> velocity() const { return std::nullopt; }
};

/// Straight and level or straight up a slope: panels on even ground, and what does not move.
class StraightTravel : public BodyTravel {
 public:
  StraightTravel(double x_per_mm, double z_per_mm) : x_(x_per_mm), z_(z_per_mm) {}
  Pose at(double drive_mm) const override { return {x_ * drive_mm, z_ * drive_mm}; }
  TravelRates rates(double, double) const override { return {{x_, x_}, {z_, z_}, {0, 0}}; }
  std::optional<std::array<double, 2>> velocity() const override {
    return std::array<double, 2>{x_, z_};
  }

 private:
  double x_, z_;
};

using Travels = std::vector<std::shared_ptr<const BodyTravel>>;

/// Bodies that go level, by their speed ratios; body 0 is the ground.
Travels levelTravels(const std::vector<double>& speed_ratio);

}  // namespace leafstack
