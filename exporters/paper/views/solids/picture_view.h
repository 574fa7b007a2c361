// How space falls on the picture: a parallel projection, without perspective.
#pragma once

#include "generator/geometry/mesh/mesh.h"

namespace leafstack {

/// Unit vectors in the gate's frame, at right angles to each other.
struct PictureView {
  Vec3 right{}, up{};
  Vec3 toward{};  ///< from the gate to the eye
};

/// From the road, from above and from the latch side; `opening_sign` as in Model. The view of a
/// left-hand gate is the mirror image of a right-hand one's.
PictureView roadView(double opening_sign);

/// A point as seen: mm to the right, mm up, mm nearer to the eye.
Vec3 seen(const PictureView& view, const Vec3& point);

}  // namespace leafstack
