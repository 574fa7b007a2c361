// What can be measured on a solid: its straight edges, circles and round faces, as one would set
// calipers to them.
#pragma once

#include <TopLoc_Location.hxx>
#include <TopoDS_Shape.hxx>
#include <vector>

#include "generator/geometry/bounds.h"
#include "generator/geometry/vec.h"

namespace leafstack {

/// A place to measure from along one axis of the frame: all its points have that coordinate.
struct Mark {
  enum class Kind { kEdge, kSilhouette, kAxis };
  Kind kind{};
  int axis = kAlongX;
  double at_mm = 0;
  Bounds where;  ///< the points themselves; of one coordinate along `axis`
};

/// A full or partial circle, by its diameter.
struct Round {
  double diameter_mm = 0;
  Vec3 centre{}, normal{};
};

/// A cone's faces, by the angle between them.
struct Taper {
  double angle_deg = 0;
  Vec3 at{};
};

/// A straight edge that lies along no axis.
struct Slant {
  double length_mm = 0;
  Vec3 middle{};
};

/// In the order of the solid's own faces and edges, so that those of two solids made alike pair
/// off.
struct Lengths {
  std::vector<Mark> marks;
  std::vector<Round> rounds;
  std::vector<Taper> tapers;
  std::vector<Slant> slants;
};
Lengths lengthsOf(const TopoDS_Shape& solid, const TopLoc_Location& at);

}  // namespace leafstack
