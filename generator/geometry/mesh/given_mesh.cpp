#include "generator/geometry/mesh/given_mesh.h"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <Geom_Surface.hxx>
#include <Poly_Triangulation.hxx>
#include <ShapeUpgrade_UnifySameDomain.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <TopoDS_Vertex.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <gp_Pln.hxx>
#include <map>

#include "generator/geometry/geometry_error.h"
#include "generator/geometry/moving/hull_tree.h"

namespace leafstack {
namespace {

gp_Pnt pointOf(const Vec3& at) {
  return {at[0], at[1], at[2]};
}

TopoDS_Solid solidOf(const std::vector<TopoDS_Face>& faces) {
  BRep_Builder builder;
  TopoDS_Shell shell;
  builder.MakeShell(shell);
  for (const TopoDS_Face& face : faces) {
    builder.Add(shell, face);
  }
  shell.Closed(true);
  TopoDS_Solid solid;
  builder.MakeSolid(solid);
  builder.Add(solid, shell);
  return solid;
}

/// One plane face for every triangle, edges and vertices shared; then one for what lies in a plane.
class Faced {
 public:
  explicit Faced(const PartMesh& mesh) : mesh_(mesh) {
    for (const Vec3& point : mesh.points) {
      builder_.MakeVertex(vertices_.emplace_back(), pointOf(point), 1e-7);
    }
  }

  TopoDS_Shape solid() {
    std::vector<TopoDS_Face> faces;
    for (const MeshTriangle& triangle : mesh_.triangles) {
      faces.push_back(face(triangle));
    }
    const TopoDS_Solid made = solidOf(faces);
    ShapeUpgrade_UnifySameDomain fewer(made, /*edges=*/true, /*faces=*/true, /*curves=*/false);
    fewer.Build();
    TopExp_Explorer solids(fewer.Shape(), TopAbs_SOLID);
    return solids.More() ? solids.Current() : TopoDS_Shape(made);
  }

 private:
  TopoDS_Face face(const MeshTriangle& triangle) {
    TopoDS_Wire wire;
    builder_.MakeWire(wire);
    for (int i = 0; i < 3; ++i) {
      builder_.Add(wire, edge(triangle.points[i], triangle.points[(i + 1) % 3]));
    }
    wire.Closed(true);
    const Vec3 normal = mesh_.flatNormal(triangle);
    const gp_Pln plane(pointOf(mesh_.points[triangle.points[0]]),
                       gp_Dir(normal[0], normal[1], normal[2]));
    return BRepBuilderAPI_MakeFace(plane, wire).Face();
  }

  TopoDS_Edge edge(int from, int to) {
    TopoDS_Edge& one = edges_[std::minmax(from, to)];
    if (one.IsNull()) {
      one = BRepBuilderAPI_MakeEdge(vertices_[std::min(from, to)], vertices_[std::max(from, to)]);
    }
    return from < to ? one : TopoDS::Edge(one.Reversed());
  }

  const PartMesh& mesh_;
  BRep_Builder builder_;
  std::vector<TopoDS_Vertex> vertices_;
  std::map<std::pair<int, int>, TopoDS_Edge> edges_;
};

Handle(Poly_Triangulation) triangulationOf(const TopoDS_Shape& solid, TopLoc_Location& at) {
  if (solid.IsNull()) {
    return {};
  }
  TopExp_Explorer faces(solid, TopAbs_FACE);
  if (!faces.More()) {
    return {};
  }
  const TopoDS_Face face = TopoDS::Face(faces.Current());
  return BRep_Tool::Surface(face).IsNull() ? BRep_Tool::Triangulation(face, at)
                                           : Handle(Poly_Triangulation)();
}

}  // namespace

TopoDS_Shape solidOfTriangles(const PartMesh& mesh) {
  // A plane needs a normal: slivers between points of one line have none.
  const bool has_planes =
      std::all_of(mesh.triangles.begin(), mesh.triangles.end(),
                  [&](const MeshTriangle& one) { return mesh.flatNormal(one) != Vec3{}; });
  if (has_planes && mesh.triangles.size() <= kMostFacedTriangles) {
    return Faced(mesh).solid();
  }
  const int points = static_cast<int>(mesh.points.size());
  const int triangles = static_cast<int>(mesh.triangles.size());
  const Handle(Poly_Triangulation) all = new Poly_Triangulation(points, triangles, false);
  for (int i = 0; i < points; ++i) {
    all->SetNode(i + 1, pointOf(mesh.points[i]));
  }
  for (int i = 0; i < triangles; ++i) {
    const auto& [a, b, c] = mesh.triangles[i].points;
    all->SetTriangle(i + 1, Poly_Triangle(a + 1, b + 1, c + 1));
  }
  TopoDS_Face face;
  BRep_Builder().MakeFace(face, all);
  return solidOf({face});
}

bool isOfTriangles(const TopoDS_Shape& solid) {
  TopLoc_Location at;
  return !triangulationOf(solid, at).IsNull();
}

PartMesh trianglesOf(const TopoDS_Shape& solid) {
  TopLoc_Location at;
  const Handle(Poly_Triangulation) all = triangulationOf(solid, at);
  if (all.IsNull()) {
    throw GeometryError("no solid of triangles");
  }
  PartMesh mesh;
  mesh.face_count = 1;
  mesh.points.reserve(all->NbNodes());
  for (int i = 1; i <= all->NbNodes(); ++i) {
    const gp_Pnt point = all->Node(i).Transformed(at.Transformation());
    mesh.points.push_back({point.X(), point.Y(), point.Z()});
  }
  mesh.triangles.reserve(all->NbTriangles());
  for (int i = 1; i <= all->NbTriangles(); ++i) {
    int a = 0, b = 0, c = 0;
    all->Triangle(i).Get(a, b, c);
    mesh.triangles.push_back({{a - 1, b - 1, c - 1}, 0, 0});
  }
  return mesh;
}

GivenMass massOf(const PartMesh& mesh) {
  GivenMass mass{mesh.volumeMm3(), mesh.areaMm2(), {}, {mesh.points.front(), mesh.points.front()}};
  for (const Vec3& point : mesh.points) {
    include(mass.bounds, point);
  }
  // Tetrahedra to a corner of the bounds: far off, sums would lose digits.
  const Vec3 origin = mass.bounds.low;
  for (const MeshTriangle& triangle : mesh.triangles) {
    const Vec3 a = minus(mesh.points[triangle.points[0]], origin);
    const Vec3 b = minus(mesh.points[triangle.points[1]], origin);
    const Vec3 c = minus(mesh.points[triangle.points[2]], origin);
    const double share = dot(a, cross(b, c)) / 24 / mass.volume_mm3;
    for (int axis = 0; axis < 3; ++axis) {
      mass.centroid_mm[axis] += share * (a[axis] + b[axis] + c[axis]);
    }
  }
  for (int axis = 0; axis < 3; ++axis) {
    mass.centroid_mm[axis] += origin[axis];
  }
  return mass;
}

TopoDS_Shape mirroredTriangles(const TopoDS_Shape& solid) {
  PartMesh mesh = trianglesOf(solid);
  for (Vec3& point : mesh.points) {
    point[0] = -point[0];
  }
  for (MeshTriangle& triangle : mesh.triangles) {
    std::swap(triangle.points[1], triangle.points[2]);
  }
  return solidOfTriangles(mesh);
}

}  // namespace leafstack
