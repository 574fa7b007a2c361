// Triangle meshes of solids, each triangle with the bound of its own error. The working tool of the
// clash check: quick, and independent of the kernel's own distance routine.
#pragma once

#include <TopoDS_Shape.hxx>
#include <gp_Trsf.hxx>
#include <vector>

#include "generator/geometry/mesh/part_mesh.h"
#include "generator/geometry/moving/hull_tree.h"

namespace leafstack {

/// How far triangles may leave their faces where nothing finer is needed.
inline constexpr double kMeshDeflectionMm = 0.1;

/// Triangles of one solid, moved by `place`; each carries the bound of its error (part_mesh.h).
class TriangleMesh {
 public:
  TriangleMesh(PartMesh mesh, const gp_Trsf& place);
  /// Throws GeometryError as partMesh() does.
  TriangleMesh(const TopoDS_Shape& solid, const gp_Trsf& place,
               double deflection_mm = kMeshDeflectionMm);

  /// The same solid with every face moved into it by `by_mm`: corners stay corners. Good for a
  /// distance that is small against the solid's walls.
  HullTree drawnIn(double by_mm) const;

  const HullTree& tree() const { return tree_; }
  double errorMm() const { return tree_.errorMm(); }
  const PartMesh& mesh() const { return mesh_; }
  const std::vector<Vec3>& points() const { return mesh_.points; }
  const Bounds& bounds() const { return tree_.bounds(); }

  /// True when `point` lies inside the solid: by the parity of crossings along slanted rays.
  bool contains(const Vec3& point) const;
  /// Distance from `point` to the nearest triangle.
  double surfaceDistance(const Vec3& point) const;

 private:
  std::vector<Piece> piecesAt(const std::vector<Vec3>& points) const;
  bool crossesOddly(const Vec3& point, const Vec3& direction) const;

  PartMesh mesh_;
  HullTree tree_;
};

/// Distance between two boxes, `b` shifted along X; 0 where they meet.
double boxDistance(const Bounds& a, const Bounds& b, double shift_x);

}  // namespace leafstack
