// Triangles of faces and plane polygons under the clash check: areas, volumes and stated errors
// against closed forms and the kernel.
#include <gtest/gtest.h>

#include <BRepAdaptor_Curve.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepClass_FaceClassifier.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <BRepTools.hxx>
#include <BRep_Tool.hxx>
#include <Geom_Surface.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

#include "generator/clash/placed/placed.h"
#include "generator/geometry/mesh/part_mesh.h"
#include "generator/geometry/polygon.h"
#include "generator/geometry/triangles.h"
#include "generator/occt/checked.h"
#include "generator/occt/solids/outline.h"
#include "generator/occt/solids/tube.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"
#include "tests/support/mesh_distance.h"

namespace leafstack {
namespace {

constexpr double kFacetExactMm = 1e-9;
// The kernel's own confusion distance is 1e-7; its projections stop somewhat above.
constexpr double kKernelMm = 1e-6;

TopoDS_Shape cylinder(double radius, double height) {
  return BRepPrimAPI_MakeCylinder(radius, height).Solid();
}

// ---------------------------------------------------------------- plane polygons

using Loops = std::vector<std::vector<FlatPoint>>;

std::vector<FlatPoint> pointsOf(const Loops& loops) {
  std::vector<FlatPoint> points;
  for (const auto& loop : loops) {
    points.insert(points.end(), loop.begin(), loop.end());
  }
  return points;
}

/// Loop about a centre, at random distances of up to `radius` and at least a third of it.
std::vector<FlatPoint> star(Dice& dice, FlatPoint centre, double radius) {
  const int corners = 3 + dice.below(20);
  std::vector<FlatPoint> loop;
  for (int i = 0; i < corners; ++i) {
    const double turn = 2 * std::numbers::pi * i / corners;
    const double reach = dice.in(radius / 3, radius);
    loop.push_back({centre[0] + reach * std::cos(turn), centre[1] + reach * std::sin(turn)});
  }
  if (dice.below(2) == 0) {
    std::reverse(loop.begin(), loop.end());
  }
  return loop;
}

bool isWithin(const std::vector<FlatPoint>& loop, const FlatPoint& point) {
  bool inside = false;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const FlatPoint& p = loop[i];
    const FlatPoint& q = loop[(i + 1) % loop.size()];
    if ((p[1] > point[1]) != (q[1] > point[1]) &&
        point[0] < p[0] + (point[1] - p[1]) / (q[1] - p[1]) * (q[0] - p[0])) {
      inside = !inside;
    }
  }
  return inside;
}

/// Every triangle turns left, none lies over a hole or outside, and together they are the polygon.
void expectTriangulated(const Loops& loops) {
  const auto triangles = triangulated(loops);
  ASSERT_FALSE(triangles.empty());
  const std::vector<FlatPoint> points = pointsOf(loops);
  double area = 0;
  for (const auto& [a, b, c] : triangles) {
    const std::vector<FlatPoint> corners = {points.at(a), points.at(b), points.at(c)};
    area += signedArea(corners);
    EXPECT_GT(signedArea(corners), 0);
    const FlatPoint centroid = {(corners[0][0] + corners[1][0] + corners[2][0]) / 3,
                                (corners[0][1] + corners[1][1] + corners[2][1]) / 3};
    EXPECT_TRUE(isWithin(loops[0], centroid));
    for (std::size_t hole = 1; hole < loops.size(); ++hole) {
      EXPECT_FALSE(isWithin(loops[hole], centroid)) << "over hole " << hole;
    }
  }
  double expected = std::abs(signedArea(loops[0]));
  for (std::size_t hole = 1; hole < loops.size(); ++hole) {
    expected -= std::abs(signedArea(loops[hole]));
  }
  EXPECT_NEAR(area, expected, 1e-9 * expected);
}

TEST(ClashPolygon, RandomPolygonsWithSeveralHoles) {
  Dice dice(3);
  for (int i = 0; i < 400; ++i) {
    SCOPED_TRACE("polygon " + std::to_string(i));
    // Of the outline's 900 mm the inner 300 are clear: holes of up to 45 on a grid of 100.
    Loops loops = {star(dice, {0, 0}, 900)};
    const double turn = dice.in(0, 1);
    for (int cell = 0; cell < 9; ++cell) {
      const double x = 100 * (cell % 3 - 1);
      const double y = 100 * (cell / 3 - 1);
      if (dice.below(4) > 0 && loops[0].size() > 8) {
        loops.push_back(
            star(dice,
                 {x * std::cos(turn) - y * std::sin(turn), x * std::sin(turn) + y * std::cos(turn)},
                 45));
      }
    }
    expectTriangulated(loops);
  }
}

TEST(ClashPolygon, BridgeToACornerThatEndsABridgeAlready) {
  // The third hole sees the first one's corner (114, -39) only past the bridge from the second: of
  // the corner's two places in the joined outline just one will do.
  expectTriangulated({{{-200, -200}, {200, -200}, {200, 200}, {-200, 200}},
                      {{148, -13}, {112, 16}, {114, -39}},
                      {{-30, -93}, {-79, -71}, {-76, -109}},
                      {{-85, -45}, {-124, -16}, {-122, -72}}});
}

TEST(ClashPolygon, BridgeToACornerAtTheSameHeight) {
  // The third hole's rightmost corner lies level with a corner of the second and two of the first.
  expectTriangulated({{{-200, -200}, {200, -200}, {200, 200}, {-200, 200}},
                      {{154, -118}, {110, -92}, {83, -118}, {110, -151}},
                      {{79, -106}, {69, -68}, {33, -89}, {41, -118}, {68, -143}},
                      {{-49, -118}, {-75, -73}, {-96, -118}, {-75, -153}}});
}

TEST(ClashPolygon, CombWithManyReflexCorners) {
  constexpr int kTeeth = 200;
  std::vector<FlatPoint> comb = {{0, 0}, {2.0 * kTeeth, 0}};
  for (int i = kTeeth - 1; i >= 0; --i) {
    const double x = 2 * i;
    for (const FlatPoint& corner : {FlatPoint{x + 2, 1}, {x + 1.5, 40}, {x + 0.5, 40}, {x, 1}}) {
      if (comb.back() != corner) {
        comb.push_back(corner);
      }
    }
  }
  expectTriangulated({comb});
}

TEST(ClashPolygon, NoPolygonNoTriangles) {
  const std::vector<FlatPoint> square = {{0, 0}, {10, 0}, {10, 10}, {0, 10}};
  const std::vector<FlatPoint> outside = {{20, 2}, {22, 2}, {21, 4}};
  const std::vector<FlatPoint> across = {{5, 2}, {15, 2}, {15, 4}, {5, 4}};
  const std::vector<FlatPoint> one = {{2, 2}, {6, 2}, {6, 6}, {2, 6}};
  const std::vector<FlatPoint> other = {{4, 4}, {8, 4}, {8, 8}, {4, 8}};
  EXPECT_TRUE(triangulated({{{0, 0}, {10, 0}, {1, 10}, {9, 8}}}).empty()) << "crosses itself";
  EXPECT_TRUE(triangulated({square, outside}).empty());
  EXPECT_TRUE(triangulated({square, across}).empty());
  EXPECT_TRUE(triangulated({square, one, other}).empty()) << "holes that cross";
}

// ---------------------------------------------------------------- facets against the kernel

struct NamedSolid {
  const char* name;
  TopoDS_Shape solid;
};

/// A plate with round, slotted and square holes.
TopoDS_Shape drilledPlate() {
  return prism(Plane::kXZ, Outline::roundedRectangle({0, 0}, {200, 80}, 12),
               {Outline::circle({30, 40}, 11), Outline::slot({100, 40}, 25, 8),
                Outline::rectangle({150, 20}, {170, 60})},
               {0, 6});
}

/// A pulley: a groove of an arc in a turned rim, and a bore.
TopoDS_Shape grooved() {
  return revolution(Plane::kXY, Outline({8, 0})
                                    .line({30, 0})
                                    .line({30, 2})
                                    .arc({26, 6}, {30, 10})
                                    .line({30, 12})
                                    .line({8, 12})
                                    .close());
}

const std::vector<NamedSolid>& solids() {
  static const std::vector<NamedSolid> all = {
      {"box", box({-5, 0, 2}, {60, 30, 20})},
      {"cylinder", cylinder(15, 80)},
      {"part of a cylinder", BRepPrimAPI_MakeCylinder(15, 80, 2.1).Solid()},
      {"blunt cone", BRepPrimAPI_MakeCone(25, 10, 40).Solid()},
      {"pointed cone", BRepPrimAPI_MakeCone(25, 0, 40).Solid()},
      {"torus", BRepPrimAPI_MakeTorus(30, 6).Solid()},
      {"half a torus", BRepPrimAPI_MakeTorus(30, 1.5, std::numbers::pi).Solid()},
      {"hollow section", hollowSection(Plane::kYZ, {100, 50, 3, ""}, 500)},
      {"drilled section", drilledSection({100, 50, 3, ""}, 300,
                                         {{Wall::kFront, Outline::circle({60, 50}, 10)},
                                          {Wall::kTop, Outline::rectangle({150, 15}, {190, 35})}})},
      {"drilled plate", drilledPlate()},
      {"ring",
       prism(Plane::kXY, Outline::circle({0, 0}, 25), {Outline::circle({0, 0}, 15)}, {0, 20})},
      {"grooved wheel", grooved()},
      {"sphere", BRepPrimAPI_MakeSphere(40).Solid()},
      {"crossed bars", fuse(cylinder(15, 80),
                            moved(prism(Plane::kYZ, Outline::circle({0, 40}, 9), {-40, 40}), {}))},
      {"cut bar", cut(cylinder(15, 80), {box({-20, -20, 60}, {3, 20, 90})})},
      {"mirrored plate", mirroredInX(drilledPlate())},
      {"mirrored wheel", mirroredInX(grooved())},
      {"mirrored crossing",
       mirroredInX(cut(cylinder(15, 80), {box({-20, -20, 60}, {3, 20, 90})}))}};
  return all;
}

double kernelDistance(const TopoDS_Shape& face, const Vec3& point) {
  BRepBuilderAPI_MakeVertex vertex(gp_Pnt(point[0], point[1], point[2]));
  const BRepExtrema_DistShapeShape measure(vertex.Vertex(), face);
  EXPECT_TRUE(measure.IsDone());
  return measure.Value();
}

/// Points of the face itself: on its edges, and off a grid of its parameters.
std::vector<Vec3> pointsOn(const TopoDS_Face& face) {
  constexpr int kSteps = 12;
  double u[2];
  double v[2];
  BRepTools::UVBounds(face, u[0], u[1], v[0], v[1]);
  const Handle(Geom_Surface) surface = BRep_Tool::Surface(face);
  std::vector<Vec3> points;
  for (TopExp_Explorer edges(face, TopAbs_EDGE); edges.More(); edges.Next()) {
    const TopoDS_Edge edge = TopoDS::Edge(edges.Current());
    if (BRep_Tool::Degenerated(edge)) {
      continue;
    }
    constexpr int kEdgeSteps = 40;
    const BRepAdaptor_Curve curve(edge);
    const double run = curve.LastParameter() - curve.FirstParameter();
    for (int i = 0; i <= kEdgeSteps; ++i) {
      const gp_Pnt point = curve.Value(curve.FirstParameter() + run * i / kEdgeSteps);
      points.push_back({point.X(), point.Y(), point.Z()});
    }
  }
  for (int i = 0; i <= kSteps; ++i) {
    for (int j = 0; j <= kSteps; ++j) {
      const gp_Pnt2d at(u[0] + (u[1] - u[0]) * i / kSteps, v[0] + (v[1] - v[0]) * j / kSteps);
      const BRepClass_FaceClassifier where(face, at, kKernelMm);
      if (where.State() == TopAbs_IN || where.State() == TopAbs_ON) {
        const gp_Pnt point = surface->Value(at.X(), at.Y());
        points.push_back({point.X(), point.Y(), point.Z()});
      }
    }
  }
  return points;
}

Triangle triangleOf(const PartMesh& mesh, const MeshTriangle& triangle) {
  const auto& [a, b, c] = triangle.points;
  return {mesh.points[a], mesh.points[b], mesh.points[c]};
}

Vec3 centroidOf(const Triangle& t) {
  return plus(plus(plus({}, t[0], 1.0 / 3), t[1], 1.0 / 3), t[2], 1.0 / 3);
}

/// Corners on the face, middles within the stated error of it, and the face within that of some
/// triangle of its own.
void expectWithinError(const PartMesh& mesh, const TopoDS_Face& face, int index) {
  std::vector<MeshTriangle> own;
  std::copy_if(mesh.triangles.begin(), mesh.triangles.end(), std::back_inserter(own),
               [&](const MeshTriangle& triangle) { return triangle.face == index; });
  ASSERT_FALSE(own.empty());
  const std::size_t stride = 1 + own.size() / 12;  // the kernel is slow
  for (std::size_t i = 0; i < own.size(); i += stride) {
    const Triangle triangle = triangleOf(mesh, own[i]);
    const double error = own[i].error_mm;
    EXPECT_LE(kernelDistance(face, centroidOf(triangle)), error + kKernelMm) << "triangle " << i;
    for (int side = 0; side < 3; ++side) {
      EXPECT_LE(kernelDistance(face, triangle[side]), kKernelMm) << "corner of triangle " << i;
      const Vec3 middle = plus(plus({}, triangle[side], 0.5), triangle[(side + 1) % 3], 0.5);
      EXPECT_LE(kernelDistance(face, middle), error + kKernelMm) << "side of triangle " << i;
    }
  }
  for (const Vec3& point : pointsOn(face)) {
    double beyond = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < own.size() && beyond > 0; ++i) {
      const double off = norm(minus(nearestOnTriangle(point, triangleOf(mesh, own[i])), point));
      beyond = std::min(beyond, off - own[i].error_mm);
    }
    EXPECT_LE(beyond, kKernelMm) << point[0] << " " << point[1] << " " << point[2];
  }
}

TEST(PartMesh, KeepsToItsStatedErrors) {  // P3, P4
  for (const NamedSolid& named : solids()) {
    SCOPED_TRACE(named.name);
    const PartMesh mesh = partMesh(named.solid, {kMeshDeflectionMm});
    int index = 0;
    for (TopExp_Explorer faces(named.solid, TopAbs_FACE); faces.More(); faces.Next()) {
      expectWithinError(mesh, TopoDS::Face(faces.Current()), index++);
    }
    EXPECT_EQ(mesh.face_count, index);
  }
}

/// P1 and P2.
void expectMeasuresOf(const PartMesh& mesh, const TopoDS_Shape& solid, double volume) {
  EXPECT_TRUE(mesh.isClosed());
  EXPECT_GT(mesh.volumeMm3(), 0) << "inside out";
  EXPECT_NEAR(mesh.volumeMm3(), volume, surfaceArea(solid) * (mesh.errorMm() + kFacetExactMm));
}

TEST(PartMesh, VolumesAndClosedSurfaces) {
  for (const NamedSolid& named : solids()) {
    SCOPED_TRACE(named.name);
    const double volume = massProperties(named.solid).volume_mm3;
    double coarse_off = 0;
    for (double deflection : {0.4, kMeshDeflectionMm, 0.01}) {
      const TriangleMesh mesh = placedMesh(named.solid, {}, deflection);
      expectMeasuresOf(mesh.mesh(), named.solid, volume);
      const double off = std::abs(mesh.mesh().volumeMm3() - volume);
      if (deflection < kMeshDeflectionMm && mesh.errorMm() > 0) {
        EXPECT_LT(off, coarse_off) << "finer is truer";
      }
      coarse_off = off;
    }
  }
}

}  // namespace
}  // namespace leafstack
