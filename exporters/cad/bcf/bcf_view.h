// Where a viewpoint's camera stands.
#pragma once

#include "generator/clash/report/clash.h"
#include "generator/model/model.h"

namespace leafstack {

/// In the gate's frame. Directions have length 1 and stand square to each other.
struct BcfCamera {
  Vec3 eye_mm{}, direction{}, up{};
  double distance_mm = 0;  ///< to what it looks at
};

inline constexpr double kFieldOfViewDeg = 60;  ///< vertical; BCF 3.0 asks for 45 to 60
inline constexpr double kAspectRatio = 4.0 / 3;

/// Looks at the middle of the finding's two points from the nearer long side of the gate, from
/// above and a little from the leading end, from outside everything there is.
BcfCamera cameraAt(const Model& model, const Finding& finding);

}  // namespace leafstack
