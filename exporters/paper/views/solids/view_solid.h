// A solid as views need it: triangles that hide, edges, and round faces with their outlines.
#pragma once

#include <TopoDS_Edge.hxx>
#include <TopoDS_Shape.hxx>
#include <array>
#include <optional>
#include <vector>

#include "exporters/paper/views/solids/round_face.h"
#include "generator/geometry/mesh/part_mesh.h"

namespace leafstack {

/// Faces that meet at less than this run smoothly into each other: no edge is drawn.
inline constexpr double kSmoothDeg = 25;

struct ViewFace {
  bool is_flat = false;
  Vec3 normal{};                   ///< flat faces: outward, unit
  Vec3 origin{};                   ///< flat faces: a point
  std::optional<RoundFace> round;  ///< neither flat nor round: the kernel's mesh stands for it
  int first_triangle = 0, triangle_count = 0;

  /// Never in front of its own edges: flat, or round with all of it on one side of each tangent.
  bool isPlain() const { return is_flat || (round && round->kind() != RoundKind::kTorus); }
};

/// One of the two faces that meet at an edge.
struct EdgeSide {
  int face = 0;
  bool is_forward = true;  ///< the face lies to the left of the edge's own direction
  Vec3 middle_normal{};    ///< outward at the middle of the piece
};

/// A straight or round edge, or a chord of any other.
struct SolidEdge {
  SpacePiece piece;
  std::array<EdgeSide, 2> sides;
  /// The faces meet at less than kSmoothDeg all along: drawn only where one of them turns away.
  bool is_shallow = false;
};

/// In the solid's own frame.
class ViewSolid {
 public:
  /// Throws GeometryError where the kernel cannot mesh a face.
  explicit ViewSolid(const TopoDS_Shape& solid);

  const std::vector<ViewFace>& faces() const { return faces_; }
  const PartMesh& mesh() const { return mesh_; }
  const std::vector<SolidEdge>& edges() const { return edges_; }
  /// Outward normal of one side of an edge at `point` of it.
  Vec3 normalAt(const EdgeSide& side, const Vec3& point) const;
  /// Outlines as seen from direction `toward`, by face; of faces without a formula, the borders
  /// between triangles that face the eye and those that do not.
  std::vector<OutlinePiece> outlines(int face, const Vec3& toward) const;

 private:
  void readFace(const TopoDS_Face& face);
  void readEdge(const TopoDS_Edge& edge, const std::array<EdgeSide, 2>& sides);
  void addEdge(SolidEdge edge);
  std::vector<OutlinePiece> meshOutlines(const ViewFace& face, const Vec3& toward) const;

  std::vector<ViewFace> faces_;
  std::vector<TopoDS_Face> shapes_;  ///< while reading
  PartMesh mesh_;
  std::vector<SolidEdge> edges_;
};

}  // namespace leafstack
