// A small made-up model for the exporters' tests: no gate, but every case they must handle.
//
// TB1 a rounded tube in panels 1 and 2, BK1 a drilled wedge without any symmetry, WH1 a grooved
// wheel (cylinders, planes, torus), FT1 a block that does not move and stands at an identity
// placement, RP1 a rope whose open solid differs from the closed one.
#pragma once

#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakePolygon.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <BRep_Builder.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>
#include <gp_Trsf.hxx>
#include <gp_Vec.hxx>
#include <string>

#include "generator/model/model.h"
#include "generator/occt/checked.h"

namespace leafstack::toy {

struct RoundedRectangle {
  double width_mm = 0, depth_mm = 0, radius_mm = 0;
};

/// Wire about the origin in XY: four lines, four true arcs.
inline TopoDS_Wire outline(const RoundedRectangle& r) {
  const double x = r.width_mm / 2 - r.radius_mm;
  const double y = r.depth_mm / 2 - r.radius_mm;
  const double quarter = 1.5707963267948966;
  const gp_Pnt centres[] = {{x, y, 0}, {-x, y, 0}, {-x, -y, 0}, {x, -y, 0}};
  BRepBuilderAPI_MakeWire wire;
  for (int i = 0; i < 4; ++i) {
    const gp_Circ arc(gp_Ax2(centres[i], gp::DZ(), gp::DX()), r.radius_mm);
    const auto next = gp_Circ(gp_Ax2(centres[(i + 1) % 4], gp::DZ(), gp::DX()), r.radius_mm);
    BRepBuilderAPI_MakeEdge corner(arc, i * quarter, (i + 1) * quarter);
    wire.Add(corner.Edge());
    const gp_Pnt from =
        gp_Pnt(centres[i].XYZ() +
               gp_XYZ(std::cos((i + 1) * quarter), std::sin((i + 1) * quarter), 0) * r.radius_mm);
    const gp_Pnt to = gp_Pnt(next.Location().XYZ() + (from.XYZ() - centres[i].XYZ()));
    wire.Add(BRepBuilderAPI_MakeEdge(from, to).Edge());
  }
  return wire.Wire();
}

/// 50 x 50 x 3 tube, outer radius 6, inner 3.
inline TopoDS_Shape tube(double length_mm) {
  BRepBuilderAPI_MakeFace face(outline({50, 50, 6}));
  face.Add(TopoDS::Wire(outline({44, 44, 3}).Reversed()));
  return BRepPrimAPI_MakePrism(face.Face(), gp_Vec(0, 0, length_mm)).Shape();
}

inline TopoDS_Shape wedge() {
  BRepBuilderAPI_MakePolygon corners(gp_Pnt(0, 0, 0), gp_Pnt(80, 0, 0), gp_Pnt(0, 50, 0), true);
  const TopoDS_Shape prism =
      BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(corners.Wire()).Face(), gp_Vec(0, 0, 20));
  const gp_Ax2 axis(gp_Pnt(15, 12, -1), gp::DZ());
  return BRepAlgoAPI_Cut(prism, BRepPrimAPI_MakeCylinder(axis, 5, 22).Shape()).Shape();
}

inline TopoDS_Shape wheel() {
  const TopoDS_Shape disc = BRepPrimAPI_MakeCylinder(50, 20).Shape();
  const gp_Ax2 groove(gp_Pnt(0, 0, 10), gp::DZ());
  return BRepAlgoAPI_Cut(disc, BRepPrimAPI_MakeTorus(groove, 52, 8).Shape()).Shape();
}

/// A box of 10 x 20 x 30 without one of its faces.
inline TopoDS_Solid openBox() {
  BRep_Builder builder;
  TopoDS_Shell shell;
  builder.MakeShell(shell);
  const TopoDS_Shape box = BRepPrimAPI_MakeBox(10, 20, 30).Shape();
  TopExp_Explorer faces(box, TopAbs_FACE);
  for (faces.Next(); faces.More(); faces.Next()) {
    builder.Add(shell, faces.Current());
  }
  TopoDS_Solid solid;
  builder.MakeSolid(solid);
  builder.Add(solid, shell);
  return solid;
}

inline Part part(const std::string& mark, const std::string& name, const std::string& material,
                 const TopoDS_Shape& shape) {
  Part p;
  p.mark = mark;
  p.name = name;
  p.material = material;
  p.density_kg_m3 = material == "concrete" ? 2400 : 7850;
  p.solid = checkedSolid(shape, mark);
  const MassProperties properties = massProperties(p.solid);
  p.volume_mm3 = properties.volume_mm3;
  p.area_mm2 = surfaceArea(p.solid);
  p.centroid_mm = properties.centroid_mm;
  p.bounds = tightBounds(p.solid);
  return p;
}

inline void place(Model& model, int part, int panel, const TopLoc_Location& location) {
  Instance instance;
  instance.part = part;
  instance.panel = panel;
  instance.body = panel;
  for (const Instance& other : model.instances) {
    instance.serial += other.part == part ? 1 : 0;
  }
  instance.at_closed = location;
  instance.bounds = movedBounds(model.parts.at(part).bounds, location);
  model.instances.push_back(instance);
}

inline TopLoc_Location at(double x, double y, double z) {
  gp_Trsf motion;
  motion.SetTranslation(gp_Vec(x, y, z));
  return TopLoc_Location(motion);
}

inline TopLoc_Location turned(double degrees, const gp_Ax1& axis) {
  gp_Trsf motion;
  motion.SetRotation(axis, degrees * 0.017453292519943295);
  return TopLoc_Location(motion);
}

/// The same solids mirrored in X for a left-hand gate.
inline TopoDS_Shape mirrored(const TopoDS_Shape& shape) {
  gp_Trsf mirror;
  mirror.SetMirror(gp_Ax2(gp::Origin(), gp::DX()));
  return BRepBuilderAPI_Transform(shape, mirror, /*Copy=*/true).Shape();
}

inline Model model(Hand hand = Hand::kRight) {
  const double sign = hand == Hand::kRight ? 1 : -1;
  const auto shaped = [&](const TopoDS_Shape& shape) {
    return hand == Hand::kRight ? shape : mirrored(shape);
  };
  Model m;
  m.spec.site.opens = hand;
  m.spec.job.title = "Toy gate";
  m.spec.job.drawn_by = "R. Sample";
  m.opening_sign = sign;
  m.speed_ratio = {0, 1, 2};
  m.travels = levelTravels(m.speed_ratio);
  m.layout.drive_travel_mm = 1500;
  m.parts = {part("TB1", "tube", "steel", shaped(tube(1000))),
             part("BK1", "bracket", "steel", shaped(wedge())),
             part("WH1", "wheel", "nylon", shaped(wheel())),
             part("FT1", "footing", "concrete", shaped(BRepPrimAPI_MakeBox(400, 300, 200).Shape())),
             part("RP1", "rope", "rope", shaped(BRepPrimAPI_MakeCylinder(1.5, 900).Shape()))};
  m.parts[4].open_solid =
      checkedSolid(shaped(BRepPrimAPI_MakeCylinder(1.5, 700).Shape()), "RP1 open");
  place(m, 3, 0, TopLoc_Location());
  place(m, 0, 1, TopLoc_Location());
  place(m, 0, 1, at(sign * 200, 0, 0));
  place(m, 0, 2, at(sign * 100, 81, 5));
  place(m, 1, 1, turned(90, gp::OX()));
  place(m, 1, 2, at(sign * 10, 20, 30) * turned(180, gp::OZ()));
  place(m, 2, 2, turned(-90, gp::OX()));
  place(m, 4, 1, at(0, 40, 60));
  return m;
}

}  // namespace leafstack::toy
