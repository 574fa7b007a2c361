#include "generator/geometry/mesh/mesh_edges.h"

#include <BRep_Tool.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Vertex.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Circ.hxx>
#include <gp_Elips.hxx>

#include "generator/geometry/mesh/kernel_vec.h"

namespace leafstack {
namespace {

// A turn finer than this needs no chord at all.
constexpr double kNoTurnRad = 1e-9;
// A step more for this share of one would only follow rounding.
constexpr double kSameStep = 1e-6;

}  // namespace

double sagitta(double radius, double turn) {
  return radius * (1 - std::cos(turn / 2));
}

int stepsOf(double radius, double turn, const MeshAccuracy& accuracy) {
  if (std::abs(turn) < kNoTurnRad) {
    return 1;
  }
  constexpr double kWidestStep = std::numbers::pi / 2;
  const double cosine = 1 - accuracy.deflection_mm / std::max(radius, accuracy.deflection_mm);
  const double step = std::min({2 * std::acos(cosine), accuracy.angle_rad, kWidestStep});
  return std::max(1, static_cast<int>(std::ceil(std::abs(turn) / step - kSameStep)));
}

MeshEdges::MeshEdges(const TopoDS_Shape& solid, const MeshAccuracy& accuracy) {
  TopExp::MapShapes(solid, TopAbs_EDGE, shapes_);
  edges_.reserve(shapes_.Extent());
  for (int i = 1; i <= shapes_.Extent(); ++i) {
    read(TopoDS::Edge(shapes_(i)), accuracy);
  }
}

void MeshEdges::read(const TopoDS_Edge& edge, const MeshAccuracy& accuracy) {
  MeshEdge read;
  int steps = 1;
  read.is_degenerate = BRep_Tool::Degenerated(edge);
  if (!read.is_degenerate) {
    read.curve.Initialize(edge);
    read.from = read.curve.FirstParameter();
    read.to = read.curve.LastParameter();
    switch (read.curve.GetType()) {
      case GeomAbs_Line:
        break;
      case GeomAbs_Circle:
        read.radius = read.greatest_radius = read.curve.Circle().Radius();
        break;
      case GeomAbs_Ellipse:
        read.radius = read.curve.Ellipse().MinorRadius();
        read.greatest_radius = read.curve.Ellipse().MajorRadius();
        break;
      default:
        can_be_read_ = false;
    }
    steps = read.radius > 0 ? stepsOf(read.radius, read.turn(), accuracy) : 1;
  }
  parent_.push_back(static_cast<int>(edges_.size()));
  steps_.push_back(steps);
  edges_.push_back(std::move(read));
}

int MeshEdges::groupOf(int edge) const {
  while (parent_[edge] != edge) {
    edge = parent_[edge];
  }
  return edge;
}

void MeshEdges::tie(int edge, int other) {
  const int kept = std::min(groupOf(edge), groupOf(other));
  const int gone = std::max(groupOf(edge), groupOf(other));
  parent_[gone] = kept;
  steps_[kept] = std::max(steps_[kept], steps_[gone]);
}

void MeshEdges::askFor(int edge, int steps) {
  int& known = steps_[groupOf(edge)];
  known = std::max(known, steps);
}

int MeshEdges::steps(int edge) const {
  return steps_[groupOf(edge)];
}

double MeshEdges::errorMm(int edge) const {
  const MeshEdge& asked = edges_[edge];
  return sagitta(asked.greatest_radius, asked.turn() / steps(edge));
}

void MeshEdges::cut(std::vector<Vec3>& points) {
  TopTools_IndexedMapOfShape corners;
  std::vector<int> corner_points;
  const auto cornerAt = [&](const TopoDS_Vertex& corner) {
    const std::size_t index = corners.Add(corner);
    if (index > corner_points.size()) {
      const gp_Pnt at = BRep_Tool::Pnt(corner);
      corner_points.push_back(static_cast<int>(points.size()));
      points.push_back(toVec(at.XYZ()));
    }
    return corner_points[index - 1];
  };
  for (int i = 0; i < static_cast<int>(edges_.size()); ++i) {
    MeshEdge& edge = edges_[i];
    TopoDS_Vertex first;
    TopoDS_Vertex last;
    TopExp::Vertices(TopoDS::Edge(shapes_(i + 1).Oriented(TopAbs_FORWARD)), first, last);
    edge.chain = {cornerAt(first)};
    const int count = steps(i);
    for (int step = 1; step < count; ++step) {
      if (edge.is_degenerate) {
        edge.chain.push_back(edge.chain.front());
        continue;
      }
      const gp_Pnt at = edge.curve.Value(edge.from + edge.turn() * step / count);
      edge.chain.push_back(static_cast<int>(points.size()));
      points.push_back(toVec(at.XYZ()));
    }
    edge.chain.push_back(cornerAt(last));
  }
}

}  // namespace leafstack
