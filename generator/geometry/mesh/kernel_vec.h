// The kernel's vectors as ours.
#pragma once

#include <gp_XYZ.hxx>

#include "generator/geometry/vec.h"

namespace leafstack {

inline Vec3 toVec(const gp_XYZ& p) {
  return {p.X(), p.Y(), p.Z()};
}

}  // namespace leafstack
