#include "generator/occt/bent.h"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepOffsetAPI_MakePipe.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <GeomAPI_Interpolate.hxx>
#include <Geom_BSplineCurve.hxx>
#include <TColgp_HArray1OfPnt.hxx>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>

#include "generator/occt/checked.h"

namespace leafstack {
namespace {

// Close enough for a cubic to follow the line to a thousandth of a millimetre where a track may
// bend at all.
constexpr double kSpacingMm = 60;
constexpr double kInterpolatedMm = 1e-6;

/// The curve `off_mm` square above the line, X and Z less `origin`.
Handle(Geom_BSplineCurve) curveOver(const GroundLine& line, const std::array<double, 2>& ends,
                                    double off_mm, const gp_Vec& shift) {
  const int count = std::max(4, static_cast<int>(std::ceil((ends[1] - ends[0]) / kSpacingMm)));
  const auto points = new TColgp_HArray1OfPnt(1, count + 1);
  for (int i = 0; i <= count; ++i) {
    const double x = ends[0] + (ends[1] - ends[0]) * i / count;
    const double slope = line.slope(x);
    const double cosine = 1 / std::sqrt(1 + slope * slope);
    const gp_Pnt over(x - off_mm * slope * cosine, 0, line.heightMm(x) + off_mm * cosine);
    points->SetValue(i + 1, over.Translated(shift));
  }
  GeomAPI_Interpolate through(points, /*periodic=*/false, kInterpolatedMm);
  through.Load(gp_Vec(1, 0, line.slope(ends[0])), gp_Vec(1, 0, line.slope(ends[1])));
  through.Perform();
  if (!through.IsDone()) {
    throw GeometryError("no curve through the surveyed line");
  }
  return through.Curve();
}

}  // namespace

TopoDS_Shape bentBar(const GroundLine& line, const std::array<double, 2>& ends, double radius_mm) {
  const Handle(Geom_BSplineCurve) spine = curveOver(line, ends, radius_mm, gp_Vec(0, 0, 0));
  gp_Pnt start;
  gp_Vec along;
  spine->D1(spine->FirstParameter(), start, along);
  const gp_Circ circle(gp_Ax2(start, gp_Dir(along), gp::DY()), radius_mm);
  const TopoDS_Face section = BRepBuilderAPI_MakeFace(
      BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire());
  return BRepOffsetAPI_MakePipe(
             BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(spine).Edge()).Wire(), section)
      .Shape();
}

TopoDS_Shape bentSlab(const GroundLine& line, const std::array<double, 2>& ends, double width_mm,
                      double depth_mm) {
  const gp_Vec to_corner(-ends[0], 0, -line.heightMm(ends[0]));
  const auto low = curveOver(line, ends, 0, to_corner);
  const auto high = curveOver(line, ends, 0, to_corner + gp_Vec(0, 0, depth_mm));
  const auto side = [](const gp_Pnt& from, const gp_Pnt& to) {
    return BRepBuilderAPI_MakeEdge(from, to).Edge();
  };
  BRepBuilderAPI_MakeWire wire;
  wire.Add(BRepBuilderAPI_MakeEdge(low).Edge());
  wire.Add(side(low->EndPoint(), high->EndPoint()));
  wire.Add(BRepBuilderAPI_MakeEdge(high).Edge());
  wire.Add(side(high->StartPoint(), low->StartPoint()));
  const TopoDS_Face face = BRepBuilderAPI_MakeFace(wire.Wire(), /*OnlyPlane=*/true);
  return BRepPrimAPI_MakePrism(face, gp_Vec(0, width_mm, 0)).Shape();
}

}  // namespace leafstack
