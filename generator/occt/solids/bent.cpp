#include "generator/occt/solids/bent.h"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <Geom2d_Line.hxx>
#include <Geom_Circle.hxx>
#include <Geom_CylindricalSurface.hxx>
#include <Geom_Ellipse.hxx>
#include <Geom_Plane.hxx>
#include <Precision.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <TopoDS_Vertex.hxx>
#include <TopoDS_Wire.hxx>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Ax3.hxx>

#include "generator/geometry/geometry_error.h"
#include "generator/geometry/numbers.h"
#include "generator/occt/solids/mitre_joints.h"
#include "generator/occt/solids/outline.h"
#include "generator/occt/solids/wave.h"

namespace leafstack {
namespace {

constexpr int kSides = 4;  // quarters of the round
/// Where two lengths of the bar meet, or one ends: a plane across it, and the rim in it.
struct Joint : MitreJoint {
  std::array<TopoDS_Vertex, kSides> vertices;
  std::array<TopoDS_Edge, kSides> rim;  ///< anticlockwise about the bar's direction
};

/// Quarters start upwards and turn from there towards -Y, anticlockwise as seen from the far end.
class BentBar {
 public:
  BentBar(std::vector<Joint> joints, double radius) : joints_(std::move(joints)), radius_(radius) {
    builder_.MakeShell(shell_);
    for (Joint& joint : joints_) {
      makeRim(joint);
    }
    for (std::size_t i = 0; i + 1 < joints_.size(); ++i) {
      addLength(joints_[i], joints_[i + 1]);
    }
    addCap(joints_.front(), /*far=*/false);
    addCap(joints_.back(), /*far=*/true);
  }

  TopoDS_Shape solid() { return solidWithin(shell_); }

 private:
  void makeRim(Joint& joint) {
    const gp_Dir normal = alongDir(joint.turn_rad);
    const gp_Dir up = upDir(joint.turn_rad);
    const double tall = radius_ / std::cos(joint.half_rad);
    Handle(Geom_Curve) curve;
    if (joint.half_rad == 0) {
      curve = new Geom_Circle(gp_Ax2(joint.centre, normal, up), radius_);
    } else {
      curve = new Geom_Ellipse(gp_Ax2(joint.centre, normal, up), tall, radius_);
    }
    for (int side = 0; side < kSides; ++side) {
      builder_.MakeVertex(joint.vertices[side], curve->Value(side * kQuarter),
                          Precision::Confusion());
    }
    for (int side = 0; side < kSides; ++side) {
      joint.rim[side] =
          BRepBuilderAPI_MakeEdge(curve, joint.vertices[side], joint.vertices[(side + 1) % kSides],
                                  side * kQuarter, (side + 1) * kQuarter)
              .Edge();
    }
  }

  /// A cylinder's four quarters between two joints.
  void addLength(const Joint& from, const Joint& to) {
    const double length = from.centre.Distance(to.centre);
    const double turn = from.turn_rad + from.half_rad;
    std::array<TopoDS_Edge, kSides> lines;
    for (int side = 0; side < kSides; ++side) {
      lines[side] = BRepBuilderAPI_MakeEdge(from.vertices[side], to.vertices[side]).Edge();
    }
    for (int side = 0; side < kSides; ++side) {
      const double start = side * kQuarter;
      const gp_Dir up = upDir(turn).Rotated(gp_Ax1(gp::Origin(), alongDir(turn)), start);
      TopoDS_Face face;
      builder_.MakeFace(
          face, new Geom_CylindricalSurface(gp_Ax3(from.centre, alongDir(turn), up), radius_),
          Precision::Confusion());
      draw(from.rim[side], face, wave(start, 0, std::tan(from.half_rad)));
      draw(to.rim[side], face, wave(start, length, -std::tan(to.half_rad)));
      draw(lines[side], face, generator(0, start, from));
      draw(lines[(side + 1) % kSides], face, generator(kQuarter, start + kQuarter, from));
      TopoDS_Wire wire;
      builder_.MakeWire(wire);
      builder_.Add(wire, from.rim[side]);
      builder_.Add(wire, lines[(side + 1) % kSides]);
      builder_.Add(wire, to.rim[side].Reversed());
      builder_.Add(wire, lines[side].Reversed());
      wire.Closed(true);
      builder_.Add(face, wire);
      builder_.Add(shell_, face);
    }
  }

  void draw(const TopoDS_Edge& edge, const TopoDS_Face& face, const Handle(Geom2d_Curve) & curve) {
    builder_.UpdateEdge(edge, curve, face, Precision::Confusion());
  }

  /// A rim on its cylinder; `slope`: of its plane, along the bar for every mm up.
  Handle(Geom2d_Curve) wave(double start, double at, double slope) const {
    if (slope == 0) {
      return new Geom2d_Line(gp_Pnt2d(-start, at), gp::DX2d());
    }
    return waveOnCylinder(start, at, slope * radius_);
  }

  /// A length's own parameter starts at its first joint.
  Handle(Geom2d_Curve) generator(double u, double turn, const Joint& from) const {
    return new Geom2d_Line(gp_Pnt2d(u, std::tan(from.half_rad) * radius_ * std::cos(turn)),
                           gp::DY2d());
  }

  void addCap(const Joint& joint, bool far) {
    const gp_Dir outward = far ? alongDir(joint.turn_rad) : alongDir(joint.turn_rad).Reversed();
    TopoDS_Face face;
    builder_.MakeFace(face, new Geom_Plane(gp_Ax3(joint.centre, outward, upDir(joint.turn_rad))),
                      Precision::Confusion());
    TopoDS_Wire wire;
    builder_.MakeWire(wire);
    for (int i = 0; i < kSides; ++i) {
      builder_.Add(wire, far ? TopoDS_Shape(joint.rim[i]) : joint.rim[kSides - 1 - i].Reversed());
    }
    wire.Closed(true);
    builder_.Add(face, wire);
    builder_.Add(shell_, face);
  }

  std::vector<Joint> joints_;
  double radius_;
  BRep_Builder builder_;
  TopoDS_Shell shell_;
};

}  // namespace

MeasuredSolid bentBar(const GroundLine& line, const std::array<double, 2>& ends, double radius_mm) {
  const std::vector<MitreJoint> mitres = mitreJoints(line, ends, radius_mm, kChordMm);
  std::vector<Joint> joints;
  for (const MitreJoint& joint : mitres) {
    static_cast<MitreJoint&>(joints.emplace_back()) = joint;
  }
  return measuredBar(mitres, SectionIntegrals::ofRound(radius_mm),
                     BentBar(std::move(joints), radius_mm).solid());
}

TopoDS_Shape bentSlab(const GroundLine& line, const std::array<double, 2>& ends, double width_mm,
                      double depth_mm) {
  const double z0 = line.heightMm(ends[0]);
  std::vector<Point2> corners;
  const std::vector<double> stations = line.stations(ends[0], ends[1], kChordMm);
  for (double x : stations) {
    corners.push_back({x - ends[0], line.heightMm(x) - z0});
  }
  for (auto x = stations.rbegin(); x != stations.rend(); ++x) {
    corners.push_back({*x - ends[0], line.heightMm(*x) - z0 + depth_mm});
  }
  return prism(Plane::kXZ, Outline::polygon(corners), {0, width_mm});
}

}  // namespace leafstack
