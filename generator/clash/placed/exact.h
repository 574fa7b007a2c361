// The kernel's own answers on placed solids: slow, exact, and not always right, so cross-checked.
// May be asked by several threads at once, of the same solids, too: measuring only reads them, and
// booleans work on copies.
#pragma once

#include <TopoDS_Shape.hxx>

#include "generator/geometry/mesh/mesh.h"

namespace leafstack {

/// Overlap solids smaller than this are the kernel's rounding along a touching face.
inline constexpr double kNoVolumeMm3 = 1e-3;

/// Nearest approach on the exact solids; 0 for overlap, touch and any gap below the kernel's
/// confusion distance alike. distance_mm is negative when the kernel gives no answer.
struct KernelApproach {
  double distance_mm = -1;
  Vec3 on_a{}, on_b{};
};
KernelApproach kernelApproach(const TopoDS_Shape& a, const TopoDS_Shape& b);

/// What two solids share. Volume 0 both for no overlap and for a kernel that fails silently.
struct SharedSolid {
  double volume_mm3 = 0;
  Bounds bounds;
  TopoDS_Shape solid;  ///< in the frame of the shapes given; null where there is none
};
SharedSolid sharedSolid(const TopoDS_Shape& a, const TopoDS_Shape& b);

}  // namespace leafstack
