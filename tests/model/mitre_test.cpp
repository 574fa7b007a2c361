// Tubes and bars with ends cut aslant, against closed forms: a prism between two planes has the
// volume of its section times its length along the section's centroid, and a skin of its outline
// times its length along the outline's (from the integral of a linear function).
#include "generator/occt/solids/mitre.h"

#include <gtest/gtest.h>

#include <BRepAdaptor_Curve.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "generator/geometry/mesh/mesh.h"
#include "generator/geometry/triangles.h"
#include "generator/occt/checked.h"
#include "generator/occt/solids/tube.h"
#include "tests/model/mitred_tubes.h"
#include "tests/support/dice.h"

namespace leafstack {
namespace {

using namespace mitred;

// ---------------------------------------------------------------- measures

TEST(Mitre, RandomTubes) {
  Dice dice(11);
  for (int i = 0; i < 60; ++i) {
    SCOPED_TRACE("tube " + std::to_string(i));
    Tube tube;
    tube.along = dice.below(2) == 0 ? Plane::kYZ : Plane::kXY;
    tube.section = {dice.in(20, 150), dice.in(20, 150), dice.in(1, 5), ""};
    tube.ends = {dice.in(-0.3, 0.3), dice.in(-0.3, 0.3)};
    tube.length_mm = dice.in(0.6 * tube.section.height_mm + 1, 4000);
    const TopoDS_Shape solid = tube.solid();
    EXPECT_NEAR(volumeOf(solid) / (areaMm2(tube.section) * tube.middleLength()), 1, kRelative);
    EXPECT_NEAR(surfaceArea(solid) / expectedSurface(tube), 1, kRelative);
  }
}

/// Polygon, its area and its centroid: an angle 40 x 40 x 4, legs down to `a` = 0 and `b` = 0.
const std::vector<Point2> kAngle = {{0, 0}, {40, 0}, {40, 40}, {36, 40}, {36, 4}, {0, 4}};
constexpr double kAngleAreaMm2 = 40 * 4 + 36 * 4;
// The two legs' first moments about b = 0, and about a = 0.
constexpr double kAngleMiddleB = (160.0 * 2 + 144.0 * 22) / kAngleAreaMm2;
constexpr double kAngleMiddleA = (160.0 * 20 + 144.0 * 38) / kAngleAreaMm2;

TEST(Mitre, AngleSection) {
  const EndSlopes ends{0.3, -0.15};
  for (Plane along : {Plane::kYZ, Plane::kXY}) {
    const TopoDS_Shape solid = mitredPrism(along, kAngle, 500, ends);
    const double middle = along == Plane::kYZ ? kAngleMiddleB : kAngleMiddleA;
    const double length = 500 + (ends.end - ends.start) * middle;
    EXPECT_NEAR(volumeOf(solid) / (kAngleAreaMm2 * length), 1, kRelative);
    EXPECT_EQ(countOf(solid, TopAbs_FACE), 8);
    EXPECT_EQ(countOf(solid, TopAbs_EDGE), 18);
    // Skin: each leg's strip by the mean of its two edges' lengths.
    double skin = kAngleAreaMm2 * (std::hypot(1, ends.start) + std::hypot(1, ends.end));
    for (std::size_t i = 0; i < kAngle.size(); ++i) {
      const Point2& p = kAngle[i];
      const Point2& q = kAngle[(i + 1) % kAngle.size()];
      const double rise = along == Plane::kYZ ? (p.b + q.b) / 2 : (p.a + q.a) / 2;
      skin += std::hypot(p.a - q.a, p.b - q.b) * (500 + (ends.end - ends.start) * rise);
    }
    EXPECT_NEAR(surfaceArea(solid) / skin, 1, kRelative);
  }
}

// ---------------------------------------------------------------- shape

TEST(Mitre, SquareEndsAreTheHollowSection) {
  const HollowSection section{60, 40, 3, ""};
  for (Plane along : {Plane::kXY, Plane::kXZ, Plane::kYZ}) {
    const TopoDS_Shape mitred = mitredSection(along, section, 500, {});
    EXPECT_EQ(volumeOf(mitred), volumeOf(hollowSection(along, section, 500)));
    EXPECT_EQ(tightBounds(mitred).high, tightBounds(hollowSection(along, section, 500)).high);
  }
}

TEST(Mitre, RefusesWhatIsNoBar) {
  const HollowSection section{100, 50, 3, ""};
  // 30 mm of length lost over the height, of 29.9 and of 30.1.
  EXPECT_THROW(mitredSection(Plane::kYZ, section, 29.9, {0.3, 0}), GeometryError);
  EXPECT_NO_THROW(mitredSection(Plane::kYZ, section, 30.1, {0.3, 0}));
  EXPECT_THROW(mitredSection(Plane::kXY, section, 29.9, {0, -0.3}), GeometryError);
  EXPECT_THROW(mitredSection(Plane::kXZ, section, 500, {0.1, 0.1}), GeometryError);
  EXPECT_THROW(mitredSection(Plane::kYZ, section, 500, {std::nan(""), 0}), GeometryError);
  EXPECT_THROW(mitredSection(Plane::kYZ, {19, 50, 5, ""}, 500, {0.1, 0.1}), GeometryError);
  const std::vector<Point2> clockwise(kAngle.rbegin(), kAngle.rend());
  EXPECT_THROW(mitredPrism(Plane::kYZ, clockwise, 500, {0.1, 0.1}), GeometryError);
}

TEST(Mitre, SectionWithoutFlats) {
  // 20 x 20 x 5: outer radius 10, inner 5, a round tube.
  const TopoDS_Shape solid = mitredSection(Plane::kXY, {20, 20, 5, ""}, 100, {0.2, -0.1});
  EXPECT_NEAR(volumeOf(solid) / (pi * (100 - 25) * (100 - 0.3 * 10)), 1, kRelative);
}

// ---------------------------------------------------------------- worked on

TEST(Mitre, DrilledSection) {
  const HollowSection section{100, 50, 3, ""};
  const Tube tube{Plane::kYZ, section, 1000, {0.15, 0.15}};
  const std::vector<WallHole> holes = {{Wall::kFront, Outline::circle({500, 40}, 9)},
                                       {Wall::kRear, Outline::circle({500, 40}, 9)},
                                       {Wall::kTop, Outline::circle({300, 25}, 6)},
                                       {Wall::kBottom, Outline::rectangle({20, 15}, {60, 35})}};
  const TopoDS_Shape drilled = drilledSection(section, 1000, holes, tube.ends);
  const double taken = 3 * (2 * pi * 81 + pi * 36 + 40 * 20);
  EXPECT_NEAR(volumeOf(drilled) / (areaMm2(section) * 1000 - taken), 1, kRelative);
  EXPECT_EQ(countOf(drilled, TopAbs_FACE), 18 + 3 + 4);
}

// ---------------------------------------------------------------- triangles

/// Chords of a quarter turn, each within `deflection` of its arc.
int chordsOf(double radius, double deflection) {
  return static_cast<int>(std::ceil(pi / 2 / (2 * std::acos(1 - deflection / radius))));
}
/// What a quarter turn's chords cut off.
double cutOffMm2(double radius, double deflection) {
  const int chords = chordsOf(radius, deflection);
  const double turn = pi / 2 / chords;
  return chords * radius * radius / 2 * (turn - std::sin(turn));
}

TEST(Mitre, TrianglesAreThePolygonTubeBetweenThePlanes) {
  for (const Tube& tube : tubes()) {
    SCOPED_TRACE(nameOf(tube));
    const TopoDS_Shape solid = tube.solid();
    const CornerRadii radii = cornerRadii(tube.section);
    for (double deflection : {0.05, 0.01, 0.0005}) {
      const TriangleMesh mesh(solid, {}, deflection);
      const double section = areaMm2(tube.section) - 4 * cutOffMm2(radii.outer_mm, deflection) +
                             4 * cutOffMm2(radii.inner_mm, deflection);
      EXPECT_NEAR(mesh.mesh().volumeMm3() / (section * tube.middleLength()), 1, kRelative);
      const int chords =
          4 * (chordsOf(radii.outer_mm, deflection) + chordsOf(radii.inner_mm, deflection));
      // Sides: two for every straight or chord. An end: Euler, as many as corners in both loops,
      // less those whose corners lie in line.
      EXPECT_LE(mesh.mesh().triangles.size(), 4u * (8 + chords));
      EXPECT_LE(mesh.errorMm(), deflection * std::hypot(1, 0.3) * (1 + kRelative));
    }
  }
}

/// Points of the round corner of radius `r` nearest Y = 0 and the height 0, the end planes
/// included.
std::vector<Vec3> cornerPoints(const Tube& tube, double r, double inset) {
  constexpr int kTurns = 50;
  constexpr int kAlong = 20;
  std::vector<Vec3> points;
  for (int i = 0; i <= kTurns; ++i) {
    const double turn = pi / 2 * i / kTurns;
    const double y = inset + r * (1 - std::cos(turn));
    const double q = inset + r * (1 - std::sin(turn));
    for (int j = 0; j <= kAlong; ++j) {
      const double at = tube.ends.start * q + tube.lengthAt(q) * j / kAlong;
      points.push_back(tube.along == Plane::kYZ ? Vec3{at, y, q} : Vec3{q, y, at});
    }
  }
  return points;
}

TEST(Mitre, CornersAreWithinTheTrianglesError) {
  for (const Tube& tube : tubes()) {
    SCOPED_TRACE(nameOf(tube));
    const CornerRadii radii = cornerRadii(tube.section);
    const TriangleMesh mesh(tube.solid(), {}, kMeshDeflectionMm);
    double off = 0;
    for (const Vec3& point : cornerPoints(tube, radii.outer_mm, 0)) {
      off = std::max(off, mesh.surfaceDistance(point));
    }
    for (const Vec3& point : cornerPoints(tube, radii.inner_mm, tube.section.wall_mm)) {
      off = std::max(off, mesh.surfaceDistance(point));
    }
    EXPECT_LE(off, mesh.errorMm() + kRelative);
    EXPECT_GT(off, 0.9 * mesh.errorMm()) << "a bound, and not a loose one";
  }
}

/// How far the edges of a face are outside the stated errors of that face's own triangles.
double beyondErrors(const TopoDS_Face& face, const PartMesh& mesh, int index) {
  constexpr int kSteps = 60;
  double worst = -1;
  for (TopExp_Explorer edges(face, TopAbs_EDGE); edges.More(); edges.Next()) {
    const BRepAdaptor_Curve curve(TopoDS::Edge(edges.Current()));
    for (int i = 0; i <= kSteps; ++i) {
      const gp_Pnt at =
          curve.Value(std::lerp(curve.FirstParameter(), curve.LastParameter(), double(i) / kSteps));
      const Vec3 point = {at.X(), at.Y(), at.Z()};
      double beyond = std::numeric_limits<double>::infinity();
      for (const MeshTriangle& triangle : mesh.triangles) {
        if (triangle.face == index) {
          const auto& [a, b, c] = triangle.points;
          const Vec3 near =
              nearestOnTriangle(point, {mesh.points[a], mesh.points[b], mesh.points[c]});
          beyond = std::min(beyond, norm(minus(near, point)) - triangle.error_mm);
        }
      }
      worst = std::max(worst, beyond);
    }
  }
  return worst;
}

TEST(Mitre, RimsAreWithinTheErrorsOfEitherFace) {
  for (const Tube& tube : tubes()) {
    SCOPED_TRACE(nameOf(tube));
    const TopoDS_Shape solid = tube.solid();
    const PartMesh mesh = partMesh(solid, {kMeshDeflectionMm});
    int index = 0;
    for (TopExp_Explorer faces(solid, TopAbs_FACE); faces.More(); faces.Next()) {
      EXPECT_LE(beyondErrors(TopoDS::Face(faces.Current()), mesh, index++), kRelative);
    }
  }
}

}  // namespace
}  // namespace leafstack
