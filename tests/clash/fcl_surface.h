// Solids as FCL takes them: triangles of the kernel's own mesher.
#pragma once

#include <fcl/geometry/bvh/BVH_model.h>

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <memory>
#include <stdexcept>
#include <vector>

namespace leafstack {

// Chord error asked of the kernel's mesher; with the small radii here the turn never governs.
inline constexpr double kDeflectionMm = 0.02;
inline constexpr double kTurnRad = 0.5;

/// Triangles as FCL takes them.
struct Surface {
  fcl::BVHModel<fcl::OBBRSSd> triangles;
  double error_mm = 0;  ///< 0 where planes meet straight edges
};

inline bool isFlat(const TopoDS_Shape& solid) {
  for (TopExp_Explorer face(solid, TopAbs_FACE); face.More(); face.Next()) {
    if (BRepAdaptor_Surface(TopoDS::Face(face.Current())).GetType() != GeomAbs_Plane) {
      return false;
    }
  }
  for (TopExp_Explorer edge(solid, TopAbs_EDGE); edge.More(); edge.Next()) {
    if (BRepAdaptor_Curve(TopoDS::Edge(edge.Current())).GetType() != GeomAbs_Line) {
      return false;
    }
  }
  return true;
}

inline void addFace(const TopoDS_Face& face, std::vector<fcl::Vector3d>& points,
                    std::vector<fcl::Triangle>& triangles) {
  TopLoc_Location at;
  const auto mesh = BRep_Tool::Triangulation(face, at);
  if (mesh.IsNull()) {
    throw std::logic_error("the kernel left a face without triangles");
  }
  const std::size_t before = points.size();
  for (int i = 1; i <= mesh->NbNodes(); ++i) {
    const gp_Pnt point = mesh->Node(i).Transformed(at.Transformation());
    points.emplace_back(point.X(), point.Y(), point.Z());
  }
  for (int i = 1; i <= mesh->NbTriangles(); ++i) {
    const Poly_Triangle& corner = mesh->Triangle(i);
    triangles.emplace_back(before + corner(1) - 1, before + corner(2) - 1, before + corner(3) - 1);
  }
}

/// Triangles of the kernel's mesher, on a copy: the model's own solids keep what they have.
inline std::shared_ptr<Surface> surfaceOf(const TopoDS_Shape& solid) {
  const TopoDS_Shape copy = BRepBuilderAPI_Copy(solid).Shape();
  BRepMesh_IncrementalMesh(copy, kDeflectionMm, false, kTurnRad);
  std::vector<fcl::Vector3d> points;
  std::vector<fcl::Triangle> triangles;
  for (TopExp_Explorer face(copy, TopAbs_FACE); face.More(); face.Next()) {
    addFace(TopoDS::Face(face.Current()), points, triangles);
  }
  auto surface = std::make_shared<Surface>();
  surface->triangles.beginModel();
  surface->triangles.addSubModel(points, triangles);
  surface->triangles.endModel();
  surface->error_mm = isFlat(solid) ? 0 : kDeflectionMm;
  return surface;
}

}  // namespace leafstack
