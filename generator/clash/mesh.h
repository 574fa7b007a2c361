// Triangle meshes of placed solids, with a box tree for fast distances. The working tool of the
// clash check: quick, conservative by its stated error, and independent of the kernel's own
// distance routine, which it cross-checks.
#pragma once

#include <TopLoc_Location.hxx>
#include <TopoDS_Shape.hxx>
#include <array>
#include <limits>
#include <vector>

#include "generator/model.h"

namespace leafstack {

using Vec3 = std::array<double, 3>;

/// Greatest chord error asked of the mesher.
inline constexpr double kMeshDeflectionMm = 0.1;
/// Turn between neighbouring facets; with small radii this governs.
inline constexpr double kMeshAngleRad = 0.7;
/// What the check allows for: the mesher keeps its deflection only roughly, so twice it.
inline constexpr double kMeshErrorMm = 2 * kMeshDeflectionMm;

/// Triangles of one placed solid in the gate's frame. `error_mm` bounds the distance between mesh
/// and surface: 0 for solids of planes and straight edges.
class TriangleMesh {
 public:
  /// Meshes `solid` (or reuses its triangles) and places it. Throws GeometryError on an empty mesh.
  TriangleMesh(const TopoDS_Shape& solid, const TopLoc_Location& location);

  /// A round rope along `line` (in its instance's frame), whose steps keep to kMeshDeflectionMm.
  TriangleMesh(const std::vector<Vec3>& line, double radius_mm, const TopLoc_Location& location);

  double errorMm() const { return error_mm_; }
  const std::vector<Vec3>& points() const { return points_; }
  const std::vector<std::array<int, 3>>& triangles() const { return triangles_; }
  const Bounds& bounds() const { return nodes_.front().box; }

  /// True when `point` lies inside the solid (parity of crossings along a slanted ray).
  bool contains(const Vec3& point) const;
  /// Distance from `point` to the nearest triangle.
  double surfaceDistance(const Vec3& point) const;

 private:
  friend class MeshDistance;
  struct Node {
    Bounds box;
    int left = -1, right = -1;  ///< children, or -1
    int first = 0, count = 0;   ///< triangles of a leaf, in `order_`
  };
  void buildTree();
  int buildNode(int first, int count);
  Bounds boxOf(int first, int count) const;

  std::vector<Vec3> points_;
  std::vector<std::array<int, 3>> triangles_;
  std::vector<Vec3> centres_;
  std::vector<Bounds> boxes_;  ///< by triangle
  std::vector<int> order_;
  std::vector<Node> nodes_;
  double error_mm_ = 0;
};

/// Nearest approach of two meshes.
struct Approach {
  double distance_mm = std::numeric_limits<double>::infinity();  ///< 0 where they cross
  Vec3 on_a{}, on_b{};
};

/// Nearest approach with `b` shifted by `shift_x` along X. Stops early once nothing nearer than
/// `enough_mm` can be found; then distance_mm is >= enough_mm but not exact.
Approach nearestApproach(const TriangleMesh& a, const TriangleMesh& b, double shift_x,
                         double enough_mm = std::numeric_limits<double>::infinity());

/// Distance between two boxes, `b` shifted along X; 0 where they meet.
double boxDistance(const Bounds& a, const Bounds& b, double shift_x);

/// Deepest point of either mesh inside the other: how far it lies from the other's surface. 0 where
/// no mesh point lies inside. A lower bound of the true penetration.
double deepestPoint(const TriangleMesh& a, const TriangleMesh& b, double shift_x);

}  // namespace leafstack
