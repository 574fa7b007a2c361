// Where two solids lie on one another: flat faces of both in one plane, and the outline of what
// they share there. What a weld follows.
//
// Property (tests/shop/welds_test.cpp): P1 outlines are as long as those of the kernel's own common
// face of the two, less what of those are edges of holes.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>
#include <gp_Trsf.hxx>
#include <vector>

#include "generator/geometry/vec.h"

namespace leafstack {

/// A piece of a flat face's outline, and whether the solid rounds off past it.
struct Border {
  Vec3 from{}, to{};
  bool rounds_off = false;
};

/// A flat face of a solid. Nobody welds inside its holes, and where a seam's line crosses one there
/// is no metal to weld.
struct FlatSide {
  Vec3 normal{}, origin{};  ///< the normal a unit vector out of the solid
  std::vector<Border> borders;
  std::vector<std::vector<Vec3>> holes;  ///< corners
  Vec3 low{}, high{};                    ///< its extents
};

/// In the solid's own frame.
std::vector<FlatSide> flatSides(const TopoDS_Shape& solid);
/// The same elsewhere.
std::vector<FlatSide> moved(const std::vector<FlatSide>& sides, const gp_Trsf& motion);

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
  Vec3 normal{};                 ///< unit vector from the first solid into the second
  double gap_mm = 0;             ///< from the first's face, in which the edges lie, to the second's
  double area_mm2 = 0;           ///< holes and all
  std::vector<PatchEdge> edges;  ///< those of its outline that have metal of both under them
  bool is_broken = false;        ///< there are others
};

/// How near two faces lie to count as one plane, and how much room past an edge counts as going on.
struct PatchReach {
  double gap_mm = 0, room_mm = 0;
};

/// The patches of two solids by their flat sides. Faces that are not flat have none. Edges that are
/// shut in are no edges of theirs: in a corner of one solid that the other fills, or with one of
/// `others`, which both are welded to, lying beside it in the same plane within a torch's width (by
/// its flat sides: some 2 mm of its round corners count as free).
std::vector<ContactPatch> contactPatches(const std::vector<FlatSide>& first,
                                         const std::vector<FlatSide>& second,
                                         const PatchReach& reach,
                                         const std::vector<std::vector<FlatSide>>& others = {});

/// How thick a solid is behind a patch: the least way through it from inside the patch's edges,
/// straight in or along the face, to its next flat side; infinite where there is none.
double thicknessBehindMm(const std::vector<FlatSide>& solid, const ContactPatch& patch,
                         bool is_second);

}  // namespace leafstack
