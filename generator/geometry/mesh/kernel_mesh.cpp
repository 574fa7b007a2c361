#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <Geom_Surface.hxx>
#include <IMeshTools_Parameters.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <cmath>
#include <map>

#include "generator/geometry/geometry_error.h"
#include "generator/geometry/mesh/kernel_vec.h"
#include "generator/geometry/mesh/part_mesh.h"

namespace leafstack {
namespace {

// The mesher keeps its deflection only roughly.
constexpr double kMesherDeviation = 2;
// Measured: a circle gets twice the sides that the angle asked for would need.
constexpr double kMesherHalves = 2;

/// Outward; null where the surface has no normal.
Vec3 surfaceNormal(const Geom_Surface& surface, const gp_Pnt2d& uv) {
  gp_Pnt point;
  gp_Vec along_u;
  gp_Vec along_v;
  surface.D1(uv.X(), uv.Y(), point, along_u, along_v);
  const Vec3 normal = cross(toVec(along_u.XYZ()), toVec(along_v.XYZ()));
  const double size = std::max(along_u.SquareMagnitude(), along_v.SquareMagnitude());
  // Against the derivatives' own size: parameters may run in mm or in radians.
  constexpr double kParallel = 1e-9;
  const double length = norm(normal);
  return length > kParallel * size ? plus({}, normal, 1 / length) : Vec3{};
}

/// Points that the mesher gave to several faces, made one.
class Welder {
 public:
  explicit Welder(PartMesh& mesh) : mesh_(mesh) {}

  int add(const Vec3& point) {
    constexpr double kPlacesPerMm = 1e6;  // faces that share an edge have its points to rounding
    std::array<long long, 3> key{};
    for (int axis = 0; axis < 3; ++axis) {
      key[axis] = std::llround(point[axis] * kPlacesPerMm);
    }
    const auto [it, is_new] = known_.try_emplace(key, static_cast<int>(mesh_.points.size()));
    if (is_new) {
      mesh_.points.push_back(point);
    }
    return it->second;
  }

 private:
  PartMesh& mesh_;
  std::map<std::array<long long, 3>, int> known_;
};

/// Planes within straight edges have no error.
bool isExact(const TopoDS_Face& face) {
  bool all_straight = BRepAdaptor_Surface(face, /*restriction=*/false).GetType() == GeomAbs_Plane;
  for (TopExp_Explorer edges(face, TopAbs_EDGE); all_straight && edges.More(); edges.Next()) {
    all_straight = BRepAdaptor_Curve(TopoDS::Edge(edges.Current())).GetType() == GeomAbs_Line;
  }
  return all_straight;
}

struct FaceReader {
  PartMesh& mesh;
  Welder& welder;
  const MeshAccuracy& accuracy;
  double round_error_mm = 0;

  void read(const TopoDS_Face& face) {
    const double error_mm = isExact(face) ? 0 : round_error_mm;
    TopLoc_Location location;
    const Handle(Poly_Triangulation) found = BRep_Tool::Triangulation(face, location);
    if (found.IsNull()) {
      throw GeometryError("the kernel could not mesh a face");
    }
    const gp_Trsf motion = location.Transformation();
    const bool is_reversed = face.Orientation() == TopAbs_REVERSED;
    const Handle(Geom_Surface) surface = BRep_Tool::Surface(face, location);
    std::vector<int> ids;
    std::vector<Vec3> normals;
    for (int n = 1; n <= found->NbNodes(); ++n) {
      ids.push_back(welder.add(toVec(found->Node(n).Transformed(motion).XYZ())));
      if (accuracy.with_normals) {
        const Vec3 own = surfaceNormal(*surface, found->UVNode(n));
        const Vec3 turned = toVec(gp_Vec(own[0], own[1], own[2]).Transformed(motion).XYZ());
        normals.push_back(is_reversed ? minus({}, turned) : turned);
      }
    }
    for (int t = 1; t <= found->NbTriangles(); ++t) {
      std::array<int, 3> nodes{};
      found->Triangle(t).Get(nodes[0], nodes[1], nodes[2]);
      if (is_reversed != motion.IsNegative()) {
        std::swap(nodes[1], nodes[2]);
      }
      MeshTriangle triangle{{}, mesh.face_count, error_mm};
      std::array<Vec3, 3> corners{};
      for (int i = 0; i < 3; ++i) {
        triangle.points[i] = ids[nodes[i] - 1];
        corners[i] = normals.empty() ? Vec3{} : normals[nodes[i] - 1];
      }
      mesh.add(triangle, accuracy.with_normals ? &corners : nullptr);
    }
  }
};

}  // namespace

PartMesh kernelMesh(const TopoDS_Shape& solid, const MeshAccuracy& accuracy) {
  // On a copy: nothing is left in the solid, which others may be reading.
  const TopoDS_Shape copy =
      BRepBuilderAPI_Copy(solid, /*copyGeom=*/false, /*copyMesh=*/false).Shape();
  IMeshTools_Parameters parameters;
  parameters.Deflection = std::max(accuracy.deflection_mm, kKernelFinestMm);
  parameters.Angle = kMesherHalves * accuracy.angle_rad;
  parameters.InParallel = false;  // same bytes on every machine
  BRepMesh_IncrementalMesh mesher(copy, parameters);
  PartMesh mesh;
  Welder welder(mesh);
  FaceReader reader{mesh, welder, accuracy, kMesherDeviation * parameters.Deflection};
  for (TopExp_Explorer faces(copy, TopAbs_FACE); faces.More(); faces.Next()) {
    reader.read(TopoDS::Face(faces.Current()));
    ++mesh.face_count;
  }
  if (!mesh.isClosed()) {
    throw GeometryError("the mesh is not watertight");
  }
  return mesh;
}

}  // namespace leafstack
