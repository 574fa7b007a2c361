// Distances under the clash check: triangle meshes, triangles and the kernel's own, against closed
// forms, brute force and one another.
#include <gtest/gtest.h>

#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Trsf.hxx>
#include <limits>
#include <random>
#include <vector>

#include "generator/clash/exact.h"
#include "generator/clash/mesh.h"
#include "generator/clash/triangles.h"
#include "generator/occt/outline.h"
#include "tests/random_gates.h"

namespace leafstack {
namespace {

constexpr double kExactMm = 1e-9;

// ---------------------------------------------------------------- meshes against closed forms

TriangleMesh meshOf(const TopoDS_Shape& solid) {
  return TriangleMesh(solid, TopLoc_Location());
}

TopoDS_Shape cylinder(double radius, double height) {
  return BRepPrimAPI_MakeCylinder(radius, height).Solid();
}

TEST(ClashMesh, BoxesApart) {
  const TriangleMesh one = meshOf(box({0, 0, 0}, {10, 20, 30}));
  EXPECT_EQ(one.errorMm(), 0);
  // Face to face, edge to edge, corner to corner.
  EXPECT_NEAR(nearestApproach(one, meshOf(box({14, 5, 5}, {20, 9, 9})), 0).distance_mm, 4,
              kExactMm);
  EXPECT_NEAR(nearestApproach(one, meshOf(box({13, 24, 5}, {20, 30, 9})), 0).distance_mm, 5,
              kExactMm);
  EXPECT_NEAR(nearestApproach(one, meshOf(box({12, 23, 36}, {20, 30, 40})), 0).distance_mm, 7,
              kExactMm);
  const Approach near = nearestApproach(one, meshOf(box({13, 24, 5}, {20, 30, 9})), 0);
  EXPECT_NEAR(near.on_a[0], 10, kExactMm);
  EXPECT_NEAR(near.on_a[1], 20, kExactMm);
  EXPECT_NEAR(near.on_b[0], 13, kExactMm);
  EXPECT_NEAR(near.on_b[1], 24, kExactMm);
}

TEST(ClashMesh, ShiftMovesTheSecond) {
  const TriangleMesh one = meshOf(box({0, 0, 0}, {10, 10, 10}));
  const TriangleMesh two = meshOf(box({100, 2, 2}, {110, 8, 8}));
  for (double by : {0.0, -50.0, -85.5, -125.0}) {
    const double expected = by > -100 ? 90 + by : -110 - by;
    EXPECT_NEAR(nearestApproach(one, two, by).distance_mm, expected, kExactMm) << by;
  }
  EXPECT_EQ(nearestApproach(one, two, -95).distance_mm, 0);
  EXPECT_EQ(nearestApproach(one, two, -90).distance_mm, 0) << "touching is no distance";
}

TEST(ClashMesh, StopsEarlyWithABound) {
  const TriangleMesh one = meshOf(box({0, 0, 0}, {10, 10, 10}));
  const TriangleMesh two = meshOf(box({60, 0, 0}, {70, 10, 10}));
  EXPECT_GE(nearestApproach(one, two, 0, 20).distance_mm, 20);
  EXPECT_NEAR(nearestApproach(one, two, 0, 51).distance_mm, 50, kExactMm);
}

TEST(ClashMesh, SphereAndCylinderWithinTheirError) {
  const double radius = 40;
  const TriangleMesh ball = meshOf(BRepPrimAPI_MakeSphere(radius).Solid());
  EXPECT_GT(ball.errorMm(), 0);
  const TriangleMesh plate = meshOf(box({55, -50, -50}, {60, 50, 50}));
  EXPECT_NEAR(nearestApproach(ball, plate, 0).distance_mm, 15, ball.errorMm());
  const TriangleMesh bar = meshOf(cylinder(10, 200));
  gp_Trsf away;
  away.SetTranslation(gp_Vec(33, 44, 0));
  const TriangleMesh other(cylinder(12, 150), TopLoc_Location(away));
  EXPECT_NEAR(nearestApproach(bar, other, 0).distance_mm, 55 - 10 - 12,
              bar.errorMm() + other.errorMm());
  // A chord lies inside a round solid, so a mesh never comes nearer than the solid by more than
  // rounding.
  EXPECT_GE(nearestApproach(bar, other, 0).distance_mm, 33 - kExactMm);
}

TEST(ClashMesh, ContainsAndSurfaceDistance) {
  const TriangleMesh block = meshOf(box({0, 0, 0}, {10, 20, 30}));
  EXPECT_TRUE(block.contains({5, 10, 15}));
  EXPECT_TRUE(block.contains({0.001, 0.001, 0.001}));
  EXPECT_FALSE(block.contains({-0.001, 10, 15}));
  EXPECT_FALSE(block.contains({5, 10, 30.001}));
  EXPECT_NEAR(block.surfaceDistance({5, 10, 15}), 5, kExactMm);
  EXPECT_NEAR(block.surfaceDistance({13, 24, 15}), 5, kExactMm);
  const TriangleMesh tube = meshOf(hollowSection(Plane::kYZ, {100, 50, 3, ""}, 500));
  EXPECT_TRUE(tube.contains({250, 1.5, 50}));
  EXPECT_FALSE(tube.contains({250, 25, 50})) << "the hollow is not the section";
  EXPECT_FALSE(tube.contains({250, 0.5, 0.5})) << "corners are round";
}

TEST(ClashMesh, ContainsAgreesWithTheClosedFormEverywhere) {
  std::mt19937 engine(7);
  const auto at = [&engine](double span) {
    return span * (static_cast<double>(engine()) / 4294967296.0 - 0.5);
  };
  const double radius = 30;
  const TriangleMesh ball = meshOf(BRepPrimAPI_MakeSphere(radius).Solid());
  const TriangleMesh block = meshOf(box({-20, -25, -30}, {20, 25, 30}));
  for (int i = 0; i < 5000; ++i) {
    const Vec3 point = {at(80), at(80), at(80)};
    const bool in_block =
        std::abs(point[0]) < 20 && std::abs(point[1]) < 25 && std::abs(point[2]) < 30;
    EXPECT_EQ(block.contains(point), in_block) << point[0] << " " << point[1] << " " << point[2];
    const double off = std::sqrt(dot(point, point)) - radius;
    if (std::abs(off) > ball.errorMm()) {
      EXPECT_EQ(ball.contains(point), off < 0) << point[0] << " " << point[1] << " " << point[2];
      EXPECT_NEAR(ball.surfaceDistance(point), std::abs(off), ball.errorMm());
    }
  }
}

TEST(ClashMesh, DeepestPoint) {
  const TriangleMesh one = meshOf(box({0, 0, 0}, {100, 100, 100}));
  const TriangleMesh corner = meshOf(box({93, 92, 95}, {200, 200, 200}));
  EXPECT_NEAR(deepestPoint(one, corner, 0), 5, kExactMm);
  EXPECT_NEAR(deepestPoint(corner, one, 0), 5, kExactMm);
  EXPECT_NEAR(deepestPoint(one, corner, 5), 2, kExactMm) << "shifted along X";
  EXPECT_EQ(deepestPoint(one, corner, 50), 0);
  const TriangleMesh inside = meshOf(box({40, 40, 40}, {60, 60, 60}));
  EXPECT_NEAR(deepestPoint(one, inside, 0), 40, kExactMm);
}

TEST(ClashMesh, BoxDistance) {
  const Bounds one = {{0, 0, 0}, {10, 10, 10}};
  const Bounds two = {{13, 14, 0}, {20, 20, 10}};
  EXPECT_NEAR(boxDistance(one, two, 0), 5, kExactMm);
  EXPECT_NEAR(boxDistance(one, two, -3), 4, kExactMm);
  EXPECT_NEAR(boxDistance(two, one, 3), 4, kExactMm);
  EXPECT_EQ(boxDistance(one, one, 10), 0);
}

TEST(ClashMesh, RopeMeshFollowsItsSolid) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 2}});
  const Model model = buildModel(spec, gates::laidOut(spec));
  for (const RopeRun& run : model.ropes) {
    const double half_way = model.layout.drive_travel_mm / 2;
    const double radius = model.spec.ropes.diameter_mm / 2;
    const TriangleMesh line(ropeLineAt(model, run, half_way), radius, TopLoc_Location());
    const TriangleMesh solid(ropeSolidAt(model, run, half_way), TopLoc_Location());
    for (const Vec3& point : solid.points()) {
      EXPECT_LE(line.surfaceDistance(point), line.errorMm());
    }
    for (const Vec3& point : line.points()) {
      EXPECT_LE(solid.surfaceDistance(point), line.errorMm() + solid.errorMm());
    }
  }
}

// ---------------------------------------------------------------- triangles against brute force

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  double in(double low, double high) {
    return low + (high - low) * (static_cast<double>(engine_()) / 4294967296.0);
  }
  Vec3 point(double span) { return {in(-span, span), in(-span, span), in(-span, span)}; }

 private:
  std::mt19937 engine_;
};

/// Least distance from the first triangle, sampled on a grid, to the second: an upper bound of the
/// true distance that is out by no more than the grid's reach.
double sampledDistance(const Triangle& a, const Triangle& b, int steps) {
  double least = std::numeric_limits<double>::infinity();
  for (int i = 0; i <= steps; ++i) {
    for (int j = 0; i + j <= steps; ++j) {
      const double u = double(i) / steps;
      const double v = double(j) / steps;
      Vec3 at = plus(a[0], minus(a[1], a[0]), u);
      at = plus(at, minus(a[2], a[0]), v);
      const Vec3 off = minus(nearestOnTriangle(at, b), at);
      least = std::min(least, std::sqrt(dot(off, off)));
    }
  }
  return least;
}

double longestSide(const Triangle& t) {
  double longest = 0;
  for (int i = 0; i < 3; ++i) {
    const Vec3 side = minus(t[(i + 1) % 3], t[i]);
    longest = std::max(longest, std::sqrt(dot(side, side)));
  }
  return longest;
}

TEST(ClashTriangles, NearestPointOnATriangleAgainstSampling) {
  Dice dice(11);
  constexpr int kSteps = 60;
  for (int i = 0; i < 300; ++i) {
    const Triangle t = {dice.point(10), dice.point(10), dice.point(10)};
    const Vec3 p = dice.point(20);
    const Vec3 off = minus(nearestOnTriangle(p, t), p);
    const double found = std::sqrt(dot(off, off));
    double sampled = std::numeric_limits<double>::infinity();
    for (int u = 0; u <= kSteps; ++u) {
      for (int v = 0; u + v <= kSteps; ++v) {
        Vec3 at = plus(t[0], minus(t[1], t[0]), double(u) / kSteps);
        at = plus(at, minus(t[2], t[0]), double(v) / kSteps);
        const Vec3 gap = minus(at, p);
        sampled = std::min(sampled, std::sqrt(dot(gap, gap)));
      }
    }
    EXPECT_LE(found, sampled + kExactMm);
    EXPECT_GE(found, sampled - longestSide(t) / kSteps);
  }
}

TEST(ClashTriangles, ApproachAgainstBruteForce) {
  Dice dice(5);
  constexpr int kSteps = 40;
  int crossing = 0;
  for (int i = 0; i < 400; ++i) {
    const Vec3 apart = dice.point(i % 2 == 0 ? 4 : 25);
    Triangle a = {dice.point(10), dice.point(10), dice.point(10)};
    Triangle b = {plus(dice.point(10), apart), plus(dice.point(10), apart),
                  plus(dice.point(10), apart)};
    const Approach found = nearestApproach(a, b);
    const double reach = longestSide(a) / kSteps;
    const double sampled = sampledDistance(a, b, kSteps);
    EXPECT_LE(found.distance_mm, sampled + kExactMm);
    EXPECT_GE(found.distance_mm, sampled - reach);
    EXPECT_NEAR(found.distance_mm, nearestApproach(b, a).distance_mm, kExactMm);
    crossing += found.distance_mm == 0 ? 1 : 0;
    if (found.distance_mm >
        0) {  // the two points are as far apart as it says, and on the triangles
      const Vec3 gap = minus(found.on_b, found.on_a);
      EXPECT_NEAR(std::sqrt(dot(gap, gap)), found.distance_mm, kExactMm);
      const Vec3 off_a = minus(nearestOnTriangle(found.on_a, a), found.on_a);
      const Vec3 off_b = minus(nearestOnTriangle(found.on_b, b), found.on_b);
      EXPECT_LE(std::sqrt(dot(off_a, off_a)), 1e-7);
      EXPECT_LE(std::sqrt(dot(off_b, off_b)), 1e-7);
    }
  }
  EXPECT_GT(crossing, 20) << "some of them must cross";
}

TEST(ClashTriangles, ThinAndFlatOnes) {
  const Triangle sliver = {Vec3{0, 0, 0}, Vec3{1000, 0, 0}, Vec3{1000, 1e-7, 0}};
  const Triangle over = {Vec3{400, -5, 3}, Vec3{600, -5, 3}, Vec3{500, 5, 3}};
  EXPECT_NEAR(nearestApproach(sliver, over).distance_mm, 3, 1e-9);
  const Triangle flat = {Vec3{0, 0, 0}, Vec3{1000, 0, 0}, Vec3{500, 0, 0}};
  EXPECT_NEAR(nearestApproach(flat, over).distance_mm, 3, 1e-9);
  const Triangle same_plane = {Vec3{0, 7, 0}, Vec3{10, 7, 0}, Vec3{5, 20, 0}};
  const Triangle below = {Vec3{0, 0, 0}, Vec3{10, 0, 0}, Vec3{5, 4, 0}};
  EXPECT_NEAR(nearestApproach(same_plane, below).distance_mm, 3, 1e-9);
}

// ---------------------------------------------------------------- kernel against mesh

gp_Trsf randomPlace(Dice& dice) {
  gp_Trsf turn;
  turn.SetRotation(gp_Ax1(gp::Origin(), gp_Dir(dice.in(-1, 1), dice.in(-1, 1), dice.in(0.1, 1))),
                   dice.in(0, 6));
  gp_Trsf move;
  move.SetTranslation(gp_Vec(dice.in(-90, 90), dice.in(-90, 90), dice.in(-90, 90)));
  return move * turn;
}

TEST(ClashKernel, MeshAndKernelAgreeOnRandomPairs) {
  Dice dice(23);
  const std::vector<TopoDS_Shape> shapes = {
      box({0, 0, 0}, {60, 30, 20}), cylinder(15, 80),
      hollowSection(Plane::kXY, {50, 30, 3, ""}, 90),
      prism(Plane::kXY, Outline::circle({0, 0}, 25), {Outline::circle({0, 0}, 15)}, {0, 20})};
  int apart = 0;
  for (int i = 0; i < 60; ++i) {
    const TopoDS_Shape& one = shapes[i % shapes.size()];
    const TopoDS_Shape& two = shapes[(i / 2) % shapes.size()];
    const TopLoc_Location at_one(randomPlace(dice));
    const TopLoc_Location at_two(randomPlace(dice));
    const TriangleMesh mesh_one(one, at_one);
    const TriangleMesh mesh_two(two, at_two);
    const double mesh = nearestApproach(mesh_one, mesh_two, 0).distance_mm;
    const Approach kernel = kernelApproach(one.Located(at_one), two.Located(at_two));
    EXPECT_NEAR(mesh, kernel.distance_mm, mesh_one.errorMm() + mesh_two.errorMm() + 1e-6)
        << "pair " << i;
    apart += kernel.distance_mm > 0 ? 1 : 0;
  }
  EXPECT_GT(apart, 20);
  EXPECT_LT(apart, 60);
}

TEST(ClashKernel, SharedSolidOfTwoBoxes) {
  const TopoDS_Shape one = box({0, 0, 0}, {10, 10, 10});
  const SharedSolid shared = sharedSolid(one, box({7, 6, 5}, {20, 20, 20}));
  EXPECT_NEAR(shared.volume_mm3, 3 * 4 * 5, 1e-9);
  EXPECT_NEAR(shared.bounds.low[0], 7, 1e-6);
  EXPECT_NEAR(shared.bounds.high[2], 10, 1e-6);
  EXPECT_EQ(sharedSolid(one, box({10, 0, 0}, {20, 10, 10})).volume_mm3, 0) << "only a face";
  EXPECT_EQ(sharedSolid(one, box({30, 0, 0}, {40, 10, 10})).volume_mm3, 0);
}

}  // namespace
}  // namespace leafstack
