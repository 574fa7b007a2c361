// The one mesh of a part: closed, from its solid's own faces and edges, each triangle with the
// bound of its own error. The clash check, STL, GLB, drawings and pictures all take it.
//
// Frame: the solid's own; mm.
//
// Properties (tests/geometry/part_mesh_test.cpp), of every solid that is meshed:
//   P1 closed: every directed edge between points is used once, and its opposite once; the mesh has
//      as many holes through it as the solid;
//   P2 outward: it encloses the solid's volume, to within its area times its error;
//   P3 every point lies on each face whose triangles use it, to the kernel's own tolerance;
//   P4 every point of a triangle lies within `errors_mm` of its face, and the other way round;
//   P5 no step about a round face or edge turns by more than the angle asked for;
//   P6 every triangle has an area; the same solid gives the same mesh.
#pragma once

#include <TopoDS_Shape.hxx>
#include <array>
#include <numbers>
#include <vector>

#include "generator/geometry/vec.h"

namespace leafstack {

/// How finely round faces are cut.
struct MeshAccuracy {
  /// Farthest a triangle may leave its face. Along edges that a plane cuts aslant, rising by s for
  /// every mm along, as much as sqrt(1 + s^2) times this.
  double deflection_mm = 0;
  /// Greatest turn from step to step about an axis; more than a quarter turn counts as that.
  double angle_rad = std::numbers::pi / 2;
  /// Whether MeshTriangle::normals are wanted.
  bool with_normals = false;
};

struct MeshTriangle {
  std::array<int, 3> points{};  ///< turning left as seen from outside
  int face = 0;                 ///< in the order in which TopExp_Explorer finds the solid's faces
  double error_mm = 0;          ///< 0 where planes meet straight edges
};

struct PartMesh {
  std::vector<Vec3> points;             ///< one for each place, shared by all faces that meet there
  std::vector<MeshTriangle> triangles;  ///< by face
  /// Outward unit normals of the face at each triangle's points, the triangle's own where the face
  /// has none (the tip of a cone); empty unless asked for.
  std::vector<std::array<Vec3, 3>> normals;
  int face_count = 0;

  double errorMm() const;  ///< greatest of all triangles
  double areaMm2() const;
  double volumeMm3() const;
  /// P1: every directed edge once, and its opposite once.
  bool isClosed() const;
  Vec3 flatNormal(const MeshTriangle& triangle) const;  ///< outward, unit; null without an area

  /// Leaves a triangle out that has the same point twice. A null normal becomes the flat one.
  void add(const MeshTriangle& triangle, const std::array<Vec3, 3>* corner_normals);
};

/// Steps are chosen for every edge, the finest that a face beside it asks for, and for all edges
/// that lie across from each other on a round face: so neighbouring faces have the same points. A
/// triangle's error is the sagitta r (1 - cos(a/2)) of the angle a that it takes of a round face,
/// or of a round edge that it borders; of an ellipse r is the greater half axis.
///
/// Planes within lines, circles and ellipses, cylinders between two planes, and cones, spheres,
/// tori and turned arcs cut square to their parameters, each within four edges. A solid with any
/// other face goes to the kernel's mesher whole, at no less than kKernelFinestMm. Throws
/// GeometryError where a solid has no faces, or the kernel cannot mesh it or leaves it open.
PartMesh partMesh(const TopoDS_Shape& solid, const MeshAccuracy& accuracy);

/// Finer than this the kernel's mesher takes minutes over a single face.
inline constexpr double kKernelFinestMm = 0.005;

/// The same from the kernel's mesher whatever the faces: for tests, and for what has other faces.
PartMesh kernelMesh(const TopoDS_Shape& solid, const MeshAccuracy& accuracy);

}  // namespace leafstack
