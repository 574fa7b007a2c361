// One face of a solid as triangles over its edges' points.
#pragma once

#include <BRepAdaptor_Surface.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Wire.hxx>
#include <array>
#include <gp_Pln.hxx>
#include <optional>

#include "generator/geometry/mesh/mesh_edges.h"

namespace leafstack {

/// A plane within edges that can be read.
class FlatFace {
 public:
  FlatFace(const TopoDS_Face& face, const BRepAdaptor_Surface& surface)
      : face_(face), plane_(surface.Plane()) {}

  /// False where the edges do not bound one polygon with holes.
  bool addTo(PartMesh& mesh, const MeshEdges& edges, bool with_normals) const;

 private:
  struct Loops;
  bool addLoop(const TopoDS_Wire& wire, const MeshEdges& edges, const PartMesh& mesh,
               Loops& loops) const;

  TopoDS_Face face_;
  gp_Pln plane_;
};

/// A round face that four edges bound: u turns about an axis, v is straight or turns about a
/// circle.
class RoundPatch {
 public:
  /// Nothing for other faces.
  static std::optional<RoundPatch> of(const TopoDS_Face& face, const BRepAdaptor_Surface& surface,
                                      const MeshEdges& edges);

  /// Ties the edges across from each other and asks for the face's own steps.
  void askFor(MeshEdges& edges, const MeshAccuracy& accuracy) const;
  void addTo(PartMesh& mesh, const MeshEdges& edges, bool with_normals) const;

 private:
  struct Side {
    int edge = -1;
    bool is_backward = false;  ///< the edge runs against u, or v
  };
  struct Drawn;
  struct Grid;

  RoundPatch() = default;
  bool readRadii(const BRepAdaptor_Surface& surface);
  static std::vector<Drawn> drawnOf(const TopoDS_Face& face, const MeshEdges& edges);
  bool readSides(const TopoDS_Face& face, const MeshEdges& edges);
  bool takeFlank(const Drawn& drawn);
  bool takeRim(const Drawn& drawn);
  std::vector<int> chainOf(const Side& side, const MeshEdges& edges) const;
  Grid gridOf(PartMesh& mesh, const MeshEdges& edges) const;
  Vec3 normalAt(double u, double v) const;
  double errorMm(const MeshEdges& edges) const;

  BRepAdaptor_Surface surface_;
  bool is_reversed_ = false;
  double u_radius_ = 0;  ///< greatest distance from the axis within the face
  double v_radius_ = 0;  ///< 0 where v is straight
  std::array<double, 2> u_{}, v_{};
  std::array<Side, 2> along_u_, along_v_;  ///< at the low and high end of v, of u
};

}  // namespace leafstack
