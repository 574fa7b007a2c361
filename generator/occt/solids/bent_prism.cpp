// Bars of planes that follow a surveyed line, built face by face.
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <Geom_Plane.hxx>
#include <Precision.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <TopoDS_Vertex.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Ax3.hxx>

#include "generator/occt/solids/bent.h"
#include "generator/occt/solids/mitre_joints.h"

namespace leafstack {
namespace {

/// A joint's corners and the edges from each to the next, anticlockwise about the bar's direction.
struct Rim {
  std::vector<gp_Pnt> points;
  std::vector<TopoDS_Vertex> vertices;
  std::vector<TopoDS_Edge> edges;
};

class BentPrism {
 public:
  BentPrism(const std::vector<MitreJoint>& joints, std::vector<Point2> corners, double over_mm)
      : corners_(std::move(corners)), over_mm_(over_mm) {
    builder_.MakeShell(shell_);
    for (const MitreJoint& joint : joints) {
      rims_.push_back(rimOf(joint));
    }
    for (std::size_t i = 0; i + 1 < rims_.size(); ++i) {
      addLength(rims_[i], rims_[i + 1]);
    }
    addCap(rims_.front(), alongDir(joints.front().turn_rad).Reversed(), /*far=*/false);
    addCap(rims_.back(), alongDir(joints.back().turn_rad), /*far=*/true);
  }

  TopoDS_Shape solid() { return solidWithin(shell_); }

 private:
  std::size_t next(std::size_t corner) const { return (corner + 1) % corners_.size(); }

  Rim rimOf(const MitreJoint& joint) const {
    Rim rim;
    const gp_XYZ up = upDir(joint.turn_rad).XYZ() / std::cos(joint.half_rad);
    for (const Point2& corner : corners_) {
      gp_XYZ at = joint.centre.XYZ() + (corner.b - over_mm_) * up;
      at.SetY(corner.a);
      rim.points.emplace_back(at);
      rim.vertices.push_back(BRepBuilderAPI_MakeVertex(rim.points.back()).Vertex());
    }
    for (std::size_t i = 0; i < corners_.size(); ++i) {
      rim.edges.push_back(BRepBuilderAPI_MakeEdge(rim.vertices[i], rim.vertices[next(i)]).Edge());
    }
    return rim;
  }

  /// One plane for every side of the section.
  void addLength(const Rim& from, const Rim& to) {
    std::vector<TopoDS_Edge> lines;
    for (std::size_t i = 0; i < corners_.size(); ++i) {
      lines.push_back(BRepBuilderAPI_MakeEdge(from.vertices[i], to.vertices[i]).Edge());
    }
    for (std::size_t i = 0; i < corners_.size(); ++i) {
      const gp_Vec side(from.points[i], from.points[next(i)]);
      const gp_Vec along(from.points[i], to.points[i]);
      addFace(from.points[i], gp_Dir(side.Crossed(along)),
              {from.edges[i], lines[next(i)], to.edges[i].Reversed(), lines[i].Reversed()});
    }
  }

  void addCap(const Rim& rim, const gp_Dir& outward, bool far) {
    std::vector<TopoDS_Shape> edges;
    for (const TopoDS_Edge& edge : rim.edges) {
      edges.push_back(far ? TopoDS_Shape(edge) : edge.Reversed());
    }
    if (!far) {
      std::reverse(edges.begin(), edges.end());
    }
    addFace(rim.points.front(), outward, edges);
  }

  void addFace(const gp_Pnt& at, const gp_Dir& outward, const std::vector<TopoDS_Shape>& edges) {
    TopoDS_Face face;
    builder_.MakeFace(face, new Geom_Plane(gp_Ax3(at, outward)), Precision::Confusion());
    TopoDS_Wire wire;
    builder_.MakeWire(wire);
    for (const TopoDS_Shape& edge : edges) {
      builder_.Add(wire, edge);
    }
    wire.Closed(true);
    builder_.Add(face, wire);
    builder_.Add(shell_, face);
  }

  std::vector<Point2> corners_;
  double over_mm_;
  std::vector<Rim> rims_;
  BRep_Builder builder_;
  TopoDS_Shell shell_;
};

}  // namespace

MeasuredSolid bentPrism(const GroundLine& line, const std::array<double, 2>& ends,
                        const std::vector<Point2>& corners, double joints_up_mm) {
  double top = joints_up_mm;
  for (const Point2& corner : corners) {
    top = std::max(top, corner.b);
  }
  const std::vector<MitreJoint> joints = mitreJoints(line, ends, top, kChordMm);
  std::vector<Point2> about;  // the joints' centres
  for (const Point2& corner : corners) {
    about.push_back({corner.a, corner.b - top});
  }
  return measuredBar(joints, SectionIntegrals::ofPolygon(about),
                     BentPrism(joints, corners, top).solid());
}

}  // namespace leafstack
