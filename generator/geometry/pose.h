// A rigid motion in the XZ plane.
#pragma once

#include <array>

namespace leafstack {

/// A rigid motion in the XZ plane: turned about the origin (+X towards +Z), then shifted.
struct Pose {
  double x_mm = 0, z_mm = 0;
  double cos = 1, sin = 0;

  bool turns() const { return sin != 0; }
};

/// `first`, then `second`.
Pose combined(const Pose& second, const Pose& first);
Pose inverse(const Pose& pose);
std::array<double, 3> carried(const Pose& pose, const std::array<double, 3>& point);
/// The motion seen in the mirror x -> -x.
Pose mirrored(const Pose& pose);

}  // namespace leafstack
