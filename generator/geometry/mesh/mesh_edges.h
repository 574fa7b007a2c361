// A solid's edges in equal steps, the same for every face beside them.
#pragma once

#include <BRepAdaptor_Curve.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Shape.hxx>
#include <optional>
#include <vector>

#include "generator/geometry/mesh/part_mesh.h"

namespace leafstack {

/// Height of an arc of `turn` radians over its chord.
double sagitta(double radius, double turn);

/// Equal steps for an arc of `turn` radians, so that each keeps to `accuracy`.
int stepsOf(double radius, double turn, const MeshAccuracy& accuracy);

struct MeshEdge {
  BRepAdaptor_Curve curve;
  bool is_degenerate = false;  ///< the tip of a cone: a point
  double from = 0, to = 0;     ///< of the curve's parameter
  /// 0 for straight edges; of an ellipse the lesser half axis, which tells how many steps the round
  /// bar or bore takes that was cut aslant.
  double radius = 0;
  double greatest_radius = 0;
  std::vector<int> chain;  ///< points from end to end, in the edge's own direction

  double turn() const { return to - from; }
};

class MeshEdges {
 public:
  MeshEdges(const TopoDS_Shape& solid, const MeshAccuracy& accuracy);

  /// False where an edge is neither straight nor round.
  bool canBeRead() const { return can_be_read_; }
  int indexOf(const TopoDS_Edge& edge) const { return shapes_.FindIndex(edge) - 1; }
  const MeshEdge& at(int edge) const { return edges_[edge]; }
  /// From now on both have as many steps as either asks for.
  void tie(int edge, int other);
  void askFor(int edge, int steps);
  int steps(int edge) const;
  /// Sagitta of a step of a round edge; 0 for a straight one.
  double errorMm(int edge) const;
  /// Gives every edge its chain. Nothing may be tied or asked for afterwards.
  void cut(std::vector<Vec3>& points);

 private:
  void read(const TopoDS_Edge& edge, const MeshAccuracy& accuracy);
  int groupOf(int edge) const;

  TopTools_IndexedMapOfShape shapes_;
  std::vector<MeshEdge> edges_;
  std::vector<int> parent_;  ///< groups of tied edges, as trees
  std::vector<int> steps_;   ///< by root of a group
  bool can_be_read_ = true;
};

}  // namespace leafstack
