// Triangle meshes of solids, each triangle with the bound of its own error. The working tool of the
// clash check: quick, and independent of the kernel's own distance routine.
#pragma once

#include <TopoDS_Shape.hxx>
#include <gp_Trsf.hxx>
#include <vector>

#include "generator/clash/hull_tree.h"

namespace leafstack {

/// Greatest chord error asked of the mesher at first.
inline constexpr double kMeshDeflectionMm = 0.1;
/// Turn between neighbouring facets of the kernel's mesher, which pictures and STL start from; with
/// small radii this governs.
inline constexpr double kMeshAngleRad = 0.7;

/// Triangles of one solid, moved by `place`; each carries the bound of its error (facets.h).
class TriangleMesh {
 public:
  /// Throws GeometryError where the kernel leaves a face out.
  TriangleMesh(const TopoDS_Shape& solid, const gp_Trsf& place,
               double deflection_mm = kMeshDeflectionMm);

  /// The same solid with every face moved into it by `by_mm`: corners stay corners. Good for a
  /// distance that is small against the solid's walls.
  HullTree drawnIn(double by_mm) const;

  const HullTree& tree() const { return tree_; }
  double errorMm() const { return tree_.errorMm(); }
  const std::vector<Vec3>& points() const { return points_; }
  const std::vector<std::array<int, 3>>& triangles() const { return triangles_; }
  const Bounds& bounds() const { return tree_.bounds(); }
  /// Volume within the triangles.
  double volumeMm3() const;
  double areaMm2() const;

  /// True when `point` lies inside the solid: by the parity of crossings along slanted rays.
  bool contains(const Vec3& point) const;
  /// Distance from `point` to the nearest triangle.
  double surfaceDistance(const Vec3& point) const;

 private:
  bool crossesOddly(const Vec3& point, const Vec3& direction) const;

  HullTree tree_;
  std::vector<Vec3> points_;
  std::vector<std::array<int, 3>> triangles_;
  std::vector<double> errors_mm_;  ///< by triangle
};

/// Distance between two boxes, `b` shifted along X; 0 where they meet.
double boxDistance(const Bounds& a, const Bounds& b, double shift_x);

}  // namespace leafstack
