// Volumes and areas worked out by the independent reader, against closed forms and the kernel.
#include <gtest/gtest.h>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakePolygon.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepOffsetAPI_MakePipe.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <GCPnts_AbscissaPoint.hxx>
#include <GC_MakeArcOfCircle.hxx>
#include <GProp_GProps.hxx>
#include <GeomAPI_PointsToBSpline.hxx>
#include <GeomAdaptor_Curve.hxx>
#include <Geom_BSplineCurve.hxx>
#include <TColgp_Array1OfPnt.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <gp_Ax1.hxx>
#include <gp_Ax2.hxx>
#include <gp_Trsf.hxx>

#include <numbers>

#include "tests/part21/brep.h"
#include "tests/readback/kernel_files.h"

namespace leafstack::part21 {
namespace {

using std::numbers::pi;

// What the reader promises where edges lie exactly on their faces.
constexpr double kRelative = 1e-9;
// The kernel writes 13 digits: a thin bar some metres off the origin is then off by this.
constexpr double kRelativeWritten = 1e-8;
// Where the kernel approximated an intersection curve, or its own integration is only this good
// (turned and spline surfaces).
constexpr double kRelativeKernel = 1e-6;

Measure measureOf(const TopoDS_Shape& shape) {
  const File file = parse(stepText(shape));
  for (const Problem& problem : file.problems) ADD_FAILURE() << problem.text;
  const auto solids = readSolids(file);
  EXPECT_EQ(solids.size(), 1U);
  if (solids.empty()) return {};
  const Solid& solid = solids.begin()->second;
  for (const std::string& problem : solid.problems) ADD_FAILURE() << problem;
  const Measure result = measure(file, solid);
  for (const std::string& problem : result.problems) ADD_FAILURE() << problem;
  EXPECT_TRUE(result.computed);
  return result;
}

void expectNear(double measured, double exact, double relative) {
  EXPECT_NEAR(measured, exact, relative * std::abs(exact));
}

// Against the kernel's own figures, from its own integration over the same solid.
Measure expectAsKernel(const TopoDS_Shape& shape, double relative) {
  const Measure measured = measureOf(shape);
  GProp_GProps volume, area;
  BRepGProp::VolumeProperties(shape, volume, 1e-9);
  BRepGProp::SurfaceProperties(shape, area, 1e-9);
  expectNear(measured.volume, volume.Mass(), relative);
  expectNear(measured.area, area.Mass(), relative);
  const gp_Pnt centre = volume.CentreOfMass();
  const double size = std::cbrt(volume.Mass());
  EXPECT_NEAR(measured.centroid.x, centre.X(), relative * 100 * size);
  EXPECT_NEAR(measured.centroid.y, centre.Y(), relative * 100 * size);
  EXPECT_NEAR(measured.centroid.z, centre.Z(), relative * 100 * size);
  return measured;
}

TopoDS_Shape moved(const TopoDS_Shape& shape) {
  gp_Trsf turn, shift;
  turn.SetRotation(gp_Ax1({1, 2, 3}, {1, 1, 0.3}), 0.7);
  shift.SetTranslation(gp_Vec(5000, -300, 1200));
  return BRepBuilderAPI_Transform(shape, shift * turn, true).Shape();
}

TopoDS_Shape mirrored(const TopoDS_Shape& shape) {
  gp_Trsf mirror;
  mirror.SetMirror(gp_Ax2({0, 0, 0}, {1, 0, 0}));
  return BRepBuilderAPI_Transform(shape, mirror, true).Shape();
}

// A closed rectangle with rounded corners, in the YZ plane, as a face.
TopoDS_Face roundedRectangle(double width, double height, double radius) {
  const TopoDS_Shape block =
      BRepPrimAPI_MakeBox(gp_Pnt(0, -width / 2, -height / 2), gp_Pnt(10, width / 2, height / 2));
  BRepFilletAPI_MakeFillet fillet(block);
  for (TopExp_Explorer e(block, TopAbs_EDGE); e.More(); e.Next()) {
    GProp_GProps line;
    BRepGProp::LinearProperties(e.Current(), line);
    if (std::abs(line.CentreOfMass().X() - 5) < 1e-9) fillet.Add(radius, TopoDS::Edge(e.Current()));
  }
  const TopoDS_Shape rounded = fillet.Shape();
  for (TopExp_Explorer f(rounded, TopAbs_FACE); f.More(); f.Next()) {
    GProp_GProps face;
    BRepGProp::SurfaceProperties(f.Current(), face);
    if (std::abs(face.CentreOfMass().X()) < 1e-9) return TopoDS::Face(f.Current());
  }
  throw std::runtime_error("no end face");
}

TopoDS_Shape tube(double width, double height, double wall, double length) {
  const gp_Vec along(length, 0, 0);
  const TopoDS_Shape outer =
      BRepPrimAPI_MakePrism(roundedRectangle(width, height, 2 * wall), along).Shape();
  const TopoDS_Shape inner =
      BRepPrimAPI_MakePrism(roundedRectangle(width - 2 * wall, height - 2 * wall, wall), along)
          .Shape();
  return BRepAlgoAPI_Cut(outer, inner).Shape();
}

double tubeSection(double b, double h, double t) {
  return 2 * t * (b + h - 2 * t) - (4 - pi) * (4 * t * t - t * t);
}

TopoDS_Shape onlySolid(const TopoDS_Shape& shape) {
  TopExp_Explorer solid(shape, TopAbs_SOLID);
  if (!solid.More()) throw std::runtime_error("no solid");
  return solid.Current();
}

TopoDS_Shape groovedPulley() {
  BRepBuilderAPI_MakeWire wire;
  const gp_Pnt a(5, 0, -7), b(40, 0, -7), c(40, 0, -2), d(36, 0, 0), e(40, 0, 2), f(40, 0, 7),
      g(5, 0, 7);
  wire.Add(BRepBuilderAPI_MakeEdge(a, b).Edge());
  wire.Add(BRepBuilderAPI_MakeEdge(b, c).Edge());
  wire.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(c, d, e).Value()).Edge());
  wire.Add(BRepBuilderAPI_MakeEdge(e, f).Edge());
  wire.Add(BRepBuilderAPI_MakeEdge(f, g).Edge());
  wire.Add(BRepBuilderAPI_MakeEdge(g, a).Edge());
  return BRepPrimAPI_MakeRevol(BRepBuilderAPI_MakeFace(wire.Wire()).Face(),
                               gp_Ax1({0, 0, 0}, {0, 0, 1}))
      .Shape();
}

// A rope: strand, half turn round a pulley, strand.
TopoDS_Shape halfTurnRope(double radius, double bend, double strand) {
  BRepBuilderAPI_MakeWire path;
  const gp_Pnt a(-strand, -bend, 0), b(0, -bend, 0), c(bend, 0, 0), d(0, bend, 0),
      e(-strand, bend, 0);
  path.Add(BRepBuilderAPI_MakeEdge(a, b).Edge());
  path.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(b, c, d).Value()).Edge());
  path.Add(BRepBuilderAPI_MakeEdge(d, e).Edge());
  const gp_Ax2 start(a, {1, 0, 0});
  const TopoDS_Wire circle =
      BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(gp_Circ(start, radius)).Edge()).Wire();
  return BRepOffsetAPI_MakePipe(path.Wire(), BRepBuilderAPI_MakeFace(circle).Face()).Shape();
}

TEST(Part21Measure, BoxIsExact) {
  const Measure box = measureOf(BRepPrimAPI_MakeBox(gp_Pnt(10, 20, 30), 100., 50., 3.).Shape());
  expectNear(box.volume, 15000, kRelative);
  expectNear(box.area, 2 * (5000 + 300 + 150), kRelative);
  EXPECT_NEAR(box.centroid.x, 60, 1e-9);
  EXPECT_NEAR(box.centroid.y, 45, 1e-9);
  EXPECT_NEAR(box.centroid.z, 31.5, 1e-9);
}

TEST(Part21Measure, CylinderIsExact) {
  const Measure cylinder = measureOf(moved(BRepPrimAPI_MakeCylinder(15., 200.).Shape()));
  expectNear(cylinder.volume, pi * 225 * 200, kRelative);
  expectNear(cylinder.area, 2 * pi * 225 + 2 * pi * 15 * 200, kRelative);
}

TEST(Part21Measure, TorusIsExact) {
  const Measure torus = measureOf(moved(BRepPrimAPI_MakeTorus(36., 1.5).Shape()));
  expectNear(torus.volume, 2 * pi * pi * 36 * 1.5 * 1.5, kRelative);
  expectNear(torus.area, 4 * pi * pi * 36 * 1.5, kRelative);
}

TEST(Part21Measure, SpheresAndCapsAreExact) {
  const Measure ball = measureOf(moved(BRepPrimAPI_MakeSphere(8.).Shape()));
  expectNear(ball.volume, 4.0 / 3 * pi * 512, kRelative);
  expectNear(ball.area, 4 * pi * 64, kRelative);
  const Measure dome = measureOf(BRepPrimAPI_MakeSphere(8., 0., pi / 2).Shape());
  expectNear(dome.volume, 2.0 / 3 * pi * 512, kRelative);
  const Measure wedge = measureOf(BRepPrimAPI_MakeSphere(8., pi / 2).Shape());
  expectNear(wedge.volume, 1.0 / 3 * pi * 512, kRelative);
  const Measure drilled = expectAsKernel(
      onlySolid(BRepAlgoAPI_Cut(BRepPrimAPI_MakeSphere(8.).Shape(),
                                BRepPrimAPI_MakeBox(gp_Pnt(5, -9, -9), gp_Pnt(9, 9, 9)).Shape())
                    .Shape()),
      kRelative);
  expectNear(drilled.volume, 4.0 / 3 * pi * 512 - pi * 9 * (24 - 3) / 3, kRelative);
}

TEST(Part21Measure, ConesAreExact) {
  const Measure pointed = measureOf(moved(BRepPrimAPI_MakeCone(10., 0., 30.).Shape()));
  expectNear(pointed.volume, pi * 100 * 30 / 3, kRelative);
  const Measure frustum = measureOf(BRepPrimAPI_MakeCone(10., 4., 30.).Shape());
  expectNear(frustum.volume, pi * 30 / 3 * (100 + 40 + 16), kRelative);
  const Measure widening = measureOf(BRepPrimAPI_MakeCone(0., 10., 30., pi / 2).Shape());
  expectNear(widening.volume, pi * 100 * 30 / 12, kRelative);
}

TEST(Part21Measure, GroovedPulleyByPappus) {
  const Measure pulley = expectAsKernel(moved(groovedPulley()), kRelativeKernel);
  // Circle through (±2, 40) and (0, 36): radius 2.5, centre 38.5 off the axis. The groove is the
  // segment below the chord at 40; Pappus: volume = 2 pi x its first moment about the axis.
  const double r = 2.5, centre = 38.5, half = pi - std::asin(2 / r);
  const double area = r * r * (half - std::sin(half) * std::cos(half));
  const double moment = centre * area - 2.0 / 3 * std::pow(r * std::sin(half), 3);
  expectNear(pulley.volume, pi * (1600 - 25) * 14 - 2 * pi * moment, kRelative);
}

TEST(Part21Measure, TubeWithHolesIsExact) {
  TopoDS_Shape rail = tube(50, 100, 3, 2000);
  expectNear(measureOf(rail).volume, tubeSection(50, 100, 3) * 2000, kRelative);
  const TopoDS_Shape drill =
      BRepPrimAPI_MakeCylinder(gp_Ax2({300, -30, 0}, {0, 1, 0}), 6., 60.).Shape();
  rail = BRepAlgoAPI_Cut(rail, drill).Shape();
  const Measure drilled = expectAsKernel(onlySolid(rail), kRelative);
  expectNear(drilled.volume, tubeSection(50, 100, 3) * 2000 - 2 * 3 * pi * 36, kRelative);
}

TEST(Part21Measure, HoleThroughARoundedCornerAsKernel) {
  const TopoDS_Shape drill =
      BRepPrimAPI_MakeCylinder(gp_Ax2({300, -40, 47}, {0, 1, 0}), 5., 80.).Shape();
  const TopoDS_Shape rail = BRepAlgoAPI_Cut(tube(50, 100, 3, 2000), drill).Shape();
  expectAsKernel(moved(onlySolid(rail)), kRelativeKernel);
}

TEST(Part21Measure, MitredTubeIsExact) {
  // A plane square to the elevation through the section's centre takes away as much as it leaves.
  BRepBuilderAPI_MakePolygon wedge(gp_Pnt(1000 - 100 * std::tan(0.3), -100, -100),
                                   gp_Pnt(1500, -100, -100), gp_Pnt(1500, -100, 100),
                                   gp_Pnt(1000 + 100 * std::tan(0.3), -100, 100), true);
  const TopoDS_Shape knife =
      BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(wedge.Wire()).Face(), gp_Vec(0, 200, 0));
  const TopoDS_Shape mitred = onlySolid(BRepAlgoAPI_Cut(tube(50, 50, 3, 1400), knife).Shape());
  const Measure measured = expectAsKernel(moved(mitred), kRelativeWritten);
  expectNear(measured.volume, tubeSection(50, 50, 3) * 1000, kRelativeWritten);
}

TEST(Part21Measure, RopeWithHalfTurnIsExact) {
  const Measure rope = expectAsKernel(moved(halfTurnRope(1.5, 36, 3000)), kRelativeWritten);
  expectNear(rope.volume, pi * 2.25 * (6000 + pi * 36), kRelativeWritten);
}

TEST(Part21Measure, MirroredSolidsAsTheirOriginals) {
  for (const TopoDS_Shape& shape :
       {tube(50, 100, 3, 700), groovedPulley(), halfTurnRope(1.5, 36, 300),
        TopoDS_Shape(BRepPrimAPI_MakeCone(10., 0., 30.).Shape())}) {
    const Measure original = measureOf(shape),
                  mirror = expectAsKernel(mirrored(shape), kRelativeKernel);
    expectNear(mirror.volume, original.volume, kRelative);
    expectNear(mirror.area, original.area, kRelative);
    EXPECT_NEAR(mirror.centroid.x, -original.centroid.x, 1e-6);
  }
}

TEST(Part21Measure, SplineProfileByItsLength) {
  TColgp_Array1OfPnt points(1, 5);
  for (int i = 1; i <= 5; ++i) points.SetValue(i, gp_Pnt(10 * i, i % 2 == 0 ? 5 : 3, 0));
  BRepBuilderAPI_MakeWire wire;
  const Handle(Geom_BSplineCurve) wave = GeomAPI_PointsToBSpline(points).Curve();
  wire.Add(BRepBuilderAPI_MakeEdge(wave).Edge());
  wire.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(50, 3, 0), gp_Pnt(50, -5, 0)).Edge());
  wire.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(50, -5, 0), gp_Pnt(10, -5, 0)).Edge());
  wire.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(10, -5, 0), gp_Pnt(10, 3, 0)).Edge());
  const TopoDS_Shape prism =
      BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(wire.Wire()).Face(), gp_Vec(0, 0, 25));
  const Measure measured = measureOf(moved(prism));
  GProp_GProps volume;
  BRepGProp::VolumeProperties(prism, volume, 1e-9);
  expectNear(measured.volume, volume.Mass(), kRelativeKernel);
  // Kernel 7.6.3 gives the area 1e-4 too large here, so: two ends and the outline times the height.
  const double outline = GCPnts_AbscissaPoint::Length(GeomAdaptor_Curve(wave), 1e-9) + 56;
  expectNear(measured.area, 2 * measured.volume / 25 + outline * 25, kRelativeWritten);
}

TEST(Part21Measure, HollowBlockCountsItsVoid) {
  const TopoDS_Shape hollow =
      BRepAlgoAPI_Cut(BRepPrimAPI_MakeBox(60., 60., 60.).Shape(),
                      BRepPrimAPI_MakeCylinder(gp_Ax2({30, 30, 20}, {0, 0, 1}), 10., 20.).Shape());
  const Measure measured = measureOf(onlySolid(hollow));
  expectNear(measured.volume, 216000 - pi * 100 * 20, kRelative);
}

TEST(Part21Measure, UnsupportedSurfaceIsReportedNotGuessed) {
  std::string text = stepText(BRepPrimAPI_MakeTorus(36., 1.5).Shape());
  const std::string from = "TOROIDAL_SURFACE", to = "DEGENERATE_TOROIDAL_SURFACE";
  text.replace(text.find(from), from.size(), to);
  const File file = parse(text);
  const auto solids = readSolids(file);
  ASSERT_EQ(solids.size(), 1U);
  const Measure result = measure(file, solids.begin()->second);
  EXPECT_FALSE(result.computed);
  ASSERT_FALSE(result.problems.empty());
  EXPECT_EQ(result.problems.back(), "volume not computed");
}

}  // namespace
}  // namespace leafstack::part21
