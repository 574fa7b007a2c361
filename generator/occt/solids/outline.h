// Closed plane outlines of lines and true arcs, and the prisms and revolutions made of them.
#pragma once

#include <TopoDS_Shape.hxx>
#include <TopoDS_Wire.hxx>
#include <array>
#include <vector>

#include "generator/layout/figures/sections.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// The plane an outline (a, b) lies in, and the axis a prism of it runs along (positive).
enum class Plane {
  kXY,  ///< a = X, b = Y, prism along Z
  kXZ,  ///< a = X, b = Z, prism along Y
  kYZ   ///< a = Y, b = Z, prism along X
};

struct Point2 {
  double a = 0, b = 0;
};

/// An outline drawn anticlockwise in its (a, b) plane.
class Outline {
 public:
  explicit Outline(Point2 start) : start_(start), last_(start) {}

  Outline& line(Point2 to);
  /// Arc from the last point through `through` to `to`.
  Outline& arc(Point2 through, Point2 to);
  /// Straight line back to the start, unless already there.
  Outline& close();

  static Outline polygon(const std::vector<Point2>& corners);
  static Outline rectangle(Point2 low, Point2 high);
  /// Rectangle with equal corner radii; radius 0 gives sharp corners.
  static Outline roundedRectangle(Point2 low, Point2 high, double radius);
  /// Slot with round ends along a: `half_length` from the centre to either tip.
  static Outline slot(Point2 centre, double half_length, double radius);
  static Outline circle(Point2 centre, double radius);

  TopoDS_Wire wire(Plane plane) const;
  /// Of the polygon through its points: positive when it is drawn anticlockwise.
  double turnMm2() const;

 private:
  struct Segment {
    Point2 through, to;
    bool is_arc = false;
  };
  Point2 start_, last_;
  std::vector<Segment> segments_;
  bool is_circle_ = false;
  Point2 centre_;
  double radius_ = 0;
};

/// Extent of a prism along its axis.
struct Extent {
  double from = 0, to = 0;
};

/// The prism of `outer` less `holes` (each drawn anticlockwise, inside `outer`, apart).
TopoDS_Shape prism(Plane plane, const Outline& outer, const std::vector<Outline>& holes,
                   Extent extent);
inline TopoDS_Shape prism(Plane plane, const Outline& outer, Extent extent) {
  return prism(plane, outer, {}, extent);
}

/// Axis-parallel box between two corners.
TopoDS_Shape box(const std::array<double, 3>& low, const std::array<double, 3>& high);

/// Full revolution of an outline in the (radius, along) half plane about an axis through the
/// origin; a = radius >= 0. Axis: the prism axis of the plane: kXY means about Z, kXZ about Y, and
/// kYZ about X, of an outline (along, radius).
TopoDS_Shape revolution(Plane axis, const Outline& outline);

/// `body` less every tool, in one boolean operation. Throws GeometryError when the kernel fails.
TopoDS_Shape cut(const TopoDS_Shape& body, const std::vector<TopoDS_Shape>& tools);

/// `body` and `other` as one solid, same-domain faces merged.
TopoDS_Shape fuse(const TopoDS_Shape& body, const TopoDS_Shape& other);

/// `shape` moved by a vector.
TopoDS_Shape moved(const TopoDS_Shape& shape, const std::array<double, 3>& by);

/// `solid` mirrored in the YZ plane through the origin (x -> -x): new geometry, no reflection kept
/// in a location.
TopoDS_Shape mirroredInX(const TopoDS_Shape& solid);

/// Straight hollow section with square ends along `along`'s prism axis, 0 to `length_mm`. Plane kYZ
/// (along X): Y 0..depth, Z 0..height. Plane kXY (along Z, upright): X 0..height, Y 0..depth. Plane
/// kXZ (along Y): X 0..depth, Z 0..height.
TopoDS_Shape hollowSection(Plane along, const HollowSection& section, double length_mm);

}  // namespace leafstack
