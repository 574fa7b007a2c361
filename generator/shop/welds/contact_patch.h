// Where two solids lie on one another: flat faces of both in one plane, and the outline of what
// they share there. What a weld follows.
//
// Property (tests/shop/welds_test.cpp): P1 outlines are as long, and areas as large, as the
// kernel's own common face of the two.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>
#include <vector>

#include "generator/geometry/vec.h"

namespace leafstack {

/// A straight piece of a patch's outline; chords of 0.02 mm height where it is round.
struct PatchEdge {
  Vec3 from{}, to{};
  Vec3 outward{};  ///< unit vector in the plane, away from the patch
  /// By solid: does its face go on past the edge as far as was asked for?
  std::array<bool, 2> goes_on{};
  /// By solid: where its face ends here, does the solid round off rather than turn a corner?
  std::array<bool, 2> rounds_off{};

  double lengthMm() const { return norm(minus(to, from)); }
};

struct ContactPatch {
  Vec3 normal{};      ///< unit vector from the first solid into the second
  double gap_mm = 0;  ///< from the first's face, in which the edges lie, to the second's
  double area_mm2 = 0;
  std::vector<PatchEdge> edges;
};

/// How near two faces lie to count as one plane, and how much room past an edge counts as going on.
struct PatchReach {
  double gap_mm = 0, room_mm = 0;
};

/// The patches of two placed solids. Holes within a face are left out: nobody welds inside. Faces
/// that are not flat have none.
std::vector<ContactPatch> contactPatches(const TopoDS_Shape& first, const TopoDS_Shape& second,
                                         const PatchReach& reach);

/// How thick a solid is behind a patch: the least way through it from inside the patch's edges,
/// straight in or along the face.
double thicknessBehindMm(const TopoDS_Shape& solid, const ContactPatch& patch, bool is_second);

}  // namespace leafstack
