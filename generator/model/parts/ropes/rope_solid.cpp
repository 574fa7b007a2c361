#include "generator/model/parts/ropes/rope_solid.h"

#include <BRepAdaptor_Surface.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <BRepTools.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <algorithm>
#include <gp_Ax2.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Pln.hxx>
#include <numbers>

#include "generator/layout/figures/terminal.h"
#include "generator/occt/facing.h"
#include "generator/occt/solids/outline.h"

namespace leafstack {

std::vector<double> figuresOf(const RopePath& closed, const RopePath& open) {
  std::vector<double> figures;
  for (const RopePath* path : {&closed, &open}) {
    figures.insert(figures.end(),
                   {path->front_end.a, path->front_end.b, path->rear_end.a, path->rear_end.b,
                    path->pulley_mm, path->pitch_radius_mm, path->radius_mm, path->middle_y_mm,
                    path->height_mm, path->opening ? 1.0 : 0.0});
  }
  return figures;
}

namespace {

/// A bore of body `of`, X and Z closed, as the carrier's own frame sees it at `drive_mm`.
Point2 seenBy(const Layout& layout, int carrier, int of, const Point2& bore, double drive_mm) {
  const PanelLayout& panel = layout.panel(carrier);
  const Travels& travels = layout.ground.travels;
  const auto there =
      carried(combined(inverse(travels.at(carrier)->at(drive_mm)), travels.at(of)->at(drive_mm)),
              {bore.a, 0, bore.b});
  const double c = panel.cosine();
  const double s = panel.grade * c;
  const double x = there[0] - panel.leading_closed_mm;
  const double z = there[2] - panel.underside_z_mm;
  return {x * c + z * s, -x * s + z * c};
}

/// A rope's end in its terminal, of a bracket with its bores' middle at `bore`; X and Z closed. It
/// moves with the bracket.
Point2 ropeEndAt(const RopeLayout& rope, bool opening, const Point2& bore,
                 double grade) {
  const Slope slope = Slope::of(grade);
  const double along = (opening ? 1 : -1) * rope.end_along_mm;
  const double up = rope.aboveMm(opening);
  return {bore.a + along * slope.cosine - up * slope.sine,
          bore.b + along * slope.sine + up * slope.cosine};
}

}  // namespace

RopePath ropePathAt(const GateSpec& spec, const Layout& layout, const RopeRun& run,
                    double drive_mm) {
  constexpr double kStraightMm = 1e-7;  // on even ground strands leave the pulley dead straight
  const RopeLayout& rope = layout.ropes.at(run.carrier - 1);
  const PanelLayout& panel = layout.panel(run.carrier);
  RopePath path;
  const double height = rope.heightOfMm(run.opening);
  const auto endOn = [&](int body, int leaning, const Point2& bore) {
    return seenBy(layout, run.carrier, body,
                  ropeEndAt(rope, run.opening, bore, layout.panel(leaning).grade), drive_mm);
  };
  path.front_end =
      endOn(run.frontBody(), run.frontBody(), {rope.front_bracket_mm, rope.front_bore_z_mm});
  // The ground bracket leans as panel 1 does, closed.
  path.rear_end = endOn(run.rearBody(), std::max(1, run.rearBody()),
                        {rope.rear_bracket_mm, rope.rear_bore_z_mm});
  for (Point2* end : {&path.front_end, &path.rear_end}) {
    end->b = std::abs(end->b - height) < kStraightMm ? height : end->b;
  }
  const double station = run.opening ? rope.trailing_pulley_mm : rope.leading_pulley_mm;
  path.pulley_mm = (station - panel.leading_closed_mm) / panel.cosine() + height * panel.grade;
  path.pitch_radius_mm = rope.pitch_mm / 2;
  path.radius_mm = spec.ropes.diameter_mm / 2;
  path.middle_y_mm = layout.stack.frame_depth_mm / 2;
  path.height_mm = height;
  path.opening = run.opening;
  return path;
}

namespace {

TopoDS_Shape outwardFlat(const TopoDS_Face& face, const gp_Dir& outward) {
  const gp_Pln plane = BRepAdaptor_Surface(face, /*restriction=*/false).Plane();
  const bool along = (plane.Axis().Direction().Dot(outward) > 0) == plane.Direct();
  return face.Oriented(along ? TopAbs_FORWARD : TopAbs_REVERSED);
}

/// Half a torus round the pulley: its round face, and the circles where the strands leave.
struct HalfTurn {
  TopoDS_Shape face;
  TopoDS_Wire front, rear;
};

HalfTurn halfTurn(const RopePath& path) {
  // Turning from the front strand (-Y) over the pulley's far side to the rear strand (+Y).
  const gp_Pnt centre(path.pulley_mm, path.middle_y_mm, path.height_mm);
  const gp_Ax2 axes(centre, path.opening ? gp::DZ() : -gp::DZ(), -gp::DY());
  BRepPrimAPI_MakeTorus torus(axes, path.pitch_radius_mm, path.radius_mm, std::numbers::pi);
  HalfTurn turn;
  for (TopExp_Explorer faces(torus.Shape(), TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    if (BRepAdaptor_Surface(face).GetType() == GeomAbs_Torus) {
      turn.face = face;
      continue;
    }
    GProp_GProps properties;
    BRepGProp::LinearProperties(face, properties);
    const bool is_front = properties.CentreOfMass().Y() < path.middle_y_mm;
    (is_front ? turn.front : turn.rear) = BRepTools::OuterWire(face);
  }
  return turn;
}

}  // namespace

TopoDS_Shape ropeSolid(const RopePath& path) {
  const HalfTurn turn = halfTurn(path);
  BRep_Builder builder;
  TopoDS_Shell shell;
  builder.MakeShell(shell);
  builder.Add(shell, turn.face);
  for (int side = 0; side < 2; ++side) {
    const bool front = side == 0;
    const Point2& end = front ? path.front_end : path.rear_end;
    const gp_Vec along(end.a - path.pulley_mm, 0, end.b - path.height_mm);
    const double y = path.middle_y_mm + (front ? -path.pitch_radius_mm : path.pitch_radius_mm);
    BRepPrimAPI_MakePrism strand(front ? turn.front : turn.rear, along);
    for (TopExp_Explorer faces(strand.Shape(), TopAbs_FACE); faces.More(); faces.Next()) {
      // It bounds the material inside it.
      const TopoDS_Face face = TopoDS::Face(faces.Current().Oriented(TopAbs_FORWARD));
      const bool inward = looksAtAxis(face, gp_Pnt(path.pulley_mm, y, path.height_mm), along);
      builder.Add(shell, face.Oriented(inward ? TopAbs_REVERSED : TopAbs_FORWARD));
    }
    // Both ends look back along the strands, away from the pulley.
    const gp_Dir away = path.opening ? -gp::DX() : gp::DX();
    const TopoDS_Wire rim = TopoDS::Wire(strand.LastShape());
    builder.Add(shell, outwardFlat(BRepBuilderAPI_MakeFace(rim, true).Face(), away));
  }
  shell.Closed(BRep_Tool::IsClosed(shell));
  TopoDS_Solid solid;
  builder.MakeSolid(solid);
  builder.Add(solid, shell);
  return solid;
}

Bounds ropeBounds(const RopePath& path) {
  const double across = path.pitch_radius_mm + path.radius_mm;
  const double turn = path.pulley_mm + (path.opening ? across : -across);
  Bounds bounds;
  bounds.low = {std::min({path.front_end.a, path.rear_end.a, turn}), path.middle_y_mm - across,
                std::min({path.front_end.b, path.rear_end.b, path.height_mm}) - path.radius_mm};
  bounds.high = {std::max({path.front_end.a, path.rear_end.a, turn}), path.middle_y_mm + across,
                 std::max({path.front_end.b, path.rear_end.b, path.height_mm}) + path.radius_mm};
  return bounds;
}

TopoDS_Shape ropeSolidAt(const Model& model, const RopeRun& rope, double drive_mm) {
  const TopoDS_Shape solid = ropeSolid(ropePathAt(model.spec, model.layout, rope, drive_mm));
  return model.opening_sign > 0 ? solid : mirroredInX(solid);
}

std::vector<std::array<double, 3>> ropeLineAt(const Model& model, const RopeRun& rope,
                                              double drive_mm) {
  constexpr int kTurnSteps = 144;
  const RopePath path = ropePathAt(model.spec, model.layout, rope, drive_mm);
  const double mirror = model.opening_sign;
  const double side = path.opening ? 1 : -1;
  std::vector<std::array<double, 3>> line;
  const auto add = [&](double x, double y, double z) { line.push_back({mirror * x, y, z}); };
  add(path.front_end.a, path.middle_y_mm - path.pitch_radius_mm, path.front_end.b);
  for (int i = 0; i <= kTurnSteps; ++i) {
    const double turn = std::numbers::pi * i / kTurnSteps;
    add(path.pulley_mm + side * path.pitch_radius_mm * std::sin(turn),
        path.middle_y_mm - path.pitch_radius_mm * std::cos(turn), path.height_mm);
  }
  add(path.rear_end.a, path.middle_y_mm + path.pitch_radius_mm, path.rear_end.b);
  return line;
}

}  // namespace leafstack
