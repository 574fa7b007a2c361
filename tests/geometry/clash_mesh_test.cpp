// Triangle meshes and ropes under the clash check: distances against closed forms, brute force and
// the kernel.
#include "generator/geometry/mesh/mesh.h"

#include <gtest/gtest.h>

#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "generator/clash/placed/exact.h"
#include "generator/clash/placed/placed.h"
#include "generator/occt/solids/outline.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"
#include "tests/support/mesh_distance.h"
#include "tests/support/triangle_distance.h"

namespace leafstack {
namespace {

constexpr double kMeshExactMm = 1e-9;
// The kernel's own confusion distance is 1e-7; its projections stop somewhat above.
constexpr double kMeshKernelMm = 1e-6;

TopoDS_Shape cylinderAlongZ(double radius, double height) {
  return BRepPrimAPI_MakeCylinder(radius, height).Solid();
}

// ---------------------------------------------------------------- drawn in

Vec3 middleOf(const Triangle& t) {
  return plus(plus(plus({}, t[0], 1.0 / 3), t[1], 1.0 / 3), t[2], 1.0 / 3);
}

/// Every triangle lies `by` under the face it came from, inside the solid.
void expectDrawnIn(const TriangleMesh& mesh, double by) {
  const HullTree inner = mesh.drawnIn(by);
  ASSERT_EQ(inner.pieces().size(), mesh.mesh().triangles.size());
  EXPECT_EQ(inner.errorMm(), mesh.errorMm());
  for (const Piece& piece : inner.pieces()) {
    const Vec3 centroid = middleOf(piece.points);
    EXPECT_TRUE(mesh.contains(centroid));
    EXPECT_NEAR(mesh.surfaceDistance(centroid), by, kMeshKernelMm);
    for (const Vec3& corner : piece.points) {
      EXPECT_TRUE(mesh.contains(corner));
      EXPECT_GE(mesh.surfaceDistance(corner), by - kMeshKernelMm);
    }
  }
}

TEST(ClashMesh, DrawnInWallsAreThinnerOnBothSides) {
  expectDrawnIn(placedMesh(box({0, 0, 0}, {10, 20, 30})), kThinnerMm);
  expectDrawnIn(placedMesh(hollowSection(Plane::kYZ, {100, 50, 3, ""}, 500)), kThinnerMm);
  expectDrawnIn(placedMesh(cylinderAlongZ(15, 80)), kThinnerMm);
  expectDrawnIn(placedMesh(prism(Plane::kXZ, Outline::roundedRectangle({0, 0}, {200, 80}, 12),
                                 {Outline::circle({30, 40}, 11), Outline::slot({100, 40}, 25, 8),
                                  Outline::rectangle({150, 20}, {170, 60})},
                                 {0, 6})),
                kThinnerMm);
  // An angle: a reflex edge.
  expectDrawnIn(
      placedMesh(prism(Plane::kYZ,
                       Outline::polygon({{0, 0}, {32, 0}, {32, 4}, {4, 4}, {4, 32}, {0, 32}}),
                       {0, 100})),
      kThinnerMm);
}

// ---------------------------------------------------------------- points

TEST(ClashMesh, ContainsAgreesWithTheClosedFormEverywhere) {
  Dice dice(7);
  const double radius = 30;
  const TriangleMesh ball = placedMesh(BRepPrimAPI_MakeSphere(radius).Solid());
  const TriangleMesh block = placedMesh(box({-20, -25, -30}, {20, 25, 30}));
  for (int i = 0; i < 5000; ++i) {
    const Vec3 point = dice.point(40);
    const bool in_block =
        std::abs(point[0]) < 20 && std::abs(point[1]) < 25 && std::abs(point[2]) < 30;
    EXPECT_EQ(block.contains(point), in_block) << point[0] << " " << point[1] << " " << point[2];
    const double off = norm(point) - radius;
    if (std::abs(off) > ball.errorMm()) {
      EXPECT_EQ(ball.contains(point), off < 0) << point[0] << " " << point[1] << " " << point[2];
      EXPECT_NEAR(ball.surfaceDistance(point), std::abs(off), ball.errorMm());
    }
  }
}

TEST(ClashMesh, BoxDistance) {
  const Bounds one = {{0, 0, 0}, {10, 10, 10}};
  const Bounds two = {{13, 14, 0}, {20, 20, 10}};
  EXPECT_NEAR(boxDistance(one, two, 0), 5, kMeshExactMm);
  EXPECT_NEAR(boxDistance(one, two, -3), 4, kMeshExactMm);
  EXPECT_NEAR(boxDistance(two, one, 3), 4, kMeshExactMm);
  EXPECT_EQ(boxDistance(one, one, 10), 0);
}

// ---------------------------------------------------------------- ropes

/// A rope's piece where it is at some position, in the gate's frame of its carrier.
struct RopePiece {
  Piece piece;
  double radius_mm = 0;  ///< 0 for the pieces of a square end's skin
};

std::vector<RopePiece> ropePieces(PlacedShapes& shapes, int instance, double drive) {
  std::vector<RopePiece> pieces;
  for (const Body& body : shapes.bodies(instance, Fineness::kCoarse)) {
    const HullTree tree = body.tree->standingAt(drive);
    for (Piece piece : tree.pieces()) {
      for (Vec3& point : piece.points) {
        point = body.place(point);
      }
      pieces.push_back({piece, tree.radiusMm()});
    }
  }
  return pieces;
}

/// How far outside the rope `point` lies, errors taken off; below 0 inside.
double beyondRope(const std::vector<RopePiece>& rope, const Vec3& point) {
  double least = std::numeric_limits<double>::infinity();
  for (const RopePiece& part : rope) {
    const double off = norm(minus(nearestOnTriangle(point, part.piece.points), point));
    least = std::min(least, off - part.radius_mm - part.piece.error_mm);
  }
  return least;
}

/// The solid lies within the rope's pieces, and no piece, thick or flat, leaves the solid.
void expectRopeFollows(PlacedShapes& shapes, const RopeRun& run, double drive) {
  const Model& model = shapes.model();
  const TriangleMesh solid =
      placedMesh(ropeSolidAt(model, run, drive), model.instances[run.instance].at_closed, 0.02);
  const std::vector<RopePiece> rope = ropePieces(shapes, run.instance, drive);
  for (const Vec3& point : solid.points()) {
    EXPECT_LE(beyondRope(rope, point), kMeshKernelMm) << "the solid leaves its rope";
  }
  for (const auto& [piece, radius] : rope) {
    const double error = piece.error_mm + solid.errorMm() + kMeshKernelMm;
    const Vec3 middle = plus(plus({}, piece.points[0], 0.5), piece.points[1], 0.5);
    for (const Vec3& point : {piece.points[0], middle, piece.points[2]}) {
      EXPECT_NEAR(solid.surfaceDistance(point), radius, error);
      EXPECT_TRUE(radius == 0 || solid.contains(point)) << "the rope leaves its solid";
    }
  }
}

TEST(ClashRopes, BodiesFollowTheSolidThroughTheTravel) {
  for (const char* hand : gates::kHands) {
    const Model model = gates::modelWith({{"/gate/panels", 3}, {"/site/opens", hand}});
    PlacedShapes shapes(model);
    ASSERT_FALSE(model.ropes.empty());
    for (const RopeRun& run : model.ropes) {
      for (double share : {0.0, 0.3, 0.5, 1.0}) {
        SCOPED_TRACE(run.mark + " " + hand + " at " + std::to_string(share));
        expectRopeFollows(shapes, run, share * model.layout.drive_travel_mm);
      }
      EXPECT_TRUE(shapes.ropeNeverRunsOut(run.instance));
    }
  }
}

TEST(ClashRopes, BoundsHoldTheRopeAtBothEnds) {
  const Model model = gates::modelWith({{"/gate/panels", 3}, {"/site/opens", "left"}});
  PlacedShapes shapes(model);
  for (const RopeRun& run : model.ropes) {
    const Bounds& bounds = shapes.bounds(run.instance);
    for (double share : {0.0, 0.5, 1.0}) {
      const TopoDS_Shape solid = ropeSolidAt(model, run, share * model.layout.drive_travel_mm);
      const TriangleMesh mesh = placedMesh(solid, model.instances[run.instance].at_closed);
      for (int axis = 0; axis < 3; ++axis) {
        EXPECT_GE(mesh.bounds().low[axis], bounds.low[axis] - kMeshExactMm);
        EXPECT_LE(mesh.bounds().high[axis], bounds.high[axis] + kMeshExactMm);
      }
    }
  }
}

// ---------------------------------------------------------------- whole meshes

gp_Trsf randomPlace(Dice& dice) {
  const Vec3 axis = {dice.in(-1, 1), dice.in(-1, 1), dice.in(0.1, 1)};
  gp_Trsf turn;
  turn.SetRotation(gp_Ax1(gp::Origin(), gp_Dir(axis[0], axis[1], axis[2])), dice.in(0, 6));
  const Vec3 by = dice.point(90);
  gp_Trsf move;
  move.SetTranslation(gp_Vec(by[0], by[1], by[2]));
  return move * turn;
}

std::vector<TopoDS_Shape> pairShapes() {
  return {box({0, 0, 0}, {60, 30, 20}), cylinderAlongZ(15, 80),
          hollowSection(Plane::kXY, {50, 30, 3, ""}, 90),
          prism(Plane::kXY, Outline::circle({0, 0}, 25), {Outline::circle({0, 0}, 15)}, {0, 20})};
}

TEST(ClashMesh, TreesAgainstBruteForce) {
  // Every triangle of one with every triangle of the other, in closed form.
  Dice dice(47);
  const std::vector<TopoDS_Shape> shapes = pairShapes();
  for (int i = 0; i < 24; ++i) {
    SCOPED_TRACE("pair " + std::to_string(i));
    const TriangleMesh one = placedMesh(shapes[i % 4], TopLoc_Location(randomPlace(dice)), 0.5);
    const TriangleMesh two = placedMesh(shapes[i / 2 % 4], TopLoc_Location(randomPlace(dice)), 0.5);
    double expected = std::numeric_limits<double>::infinity();
    for (const Piece& a : one.tree().pieces()) {
      for (const Piece& b : two.tree().pieces()) {
        expected = std::min(expected, triangleDistance(a.points, b.points).distance_mm);
      }
    }
    const Clearance found = nearest(one.tree(), two.tree());
    const double error = one.errorMm() + two.errorMm();
    EXPECT_NEAR(found.clearance_mm, expected, error + kMeshKernelMm);
    EXPECT_LE(found.at_least_mm, expected + kMeshExactMm);
    EXPECT_GE(found.at_least_mm, expected - error - kMeshKernelMm);
  }
}

TEST(ClashKernel, MeshAndKernelAgreeOnRandomPairs) {
  Dice dice(23);
  const std::vector<TopoDS_Shape> shapes = pairShapes();
  int apart = 0;
  for (int i = 0; i < 60; ++i) {
    const TopoDS_Shape& one = shapes[i % shapes.size()];
    const TopoDS_Shape& two = shapes[(i / 2) % shapes.size()];
    const TopLoc_Location at_one(randomPlace(dice));
    const TopLoc_Location at_two(randomPlace(dice));
    const TriangleMesh mesh_one = placedMesh(one, at_one);
    const TriangleMesh mesh_two = placedMesh(two, at_two);
    const Clearance mesh = nearest(mesh_one.tree(), mesh_two.tree());
    const KernelApproach kernel = kernelApproach(one.Located(at_one), two.Located(at_two));
    EXPECT_NEAR(mesh.clearance_mm, kernel.distance_mm, mesh.error_mm + kMeshKernelMm)
        << "pair " << i;
    EXPECT_LE(mesh.at_least_mm, kernel.distance_mm + kMeshKernelMm) << "pair " << i;
    apart += kernel.distance_mm > 0 ? 1 : 0;
  }
  EXPECT_GT(apart, 20);
  EXPECT_LT(apart, 60);
}

// ---------------------------------------------------------------- a point and a triangle

TEST(ClashTriangles, NearestPointOnATriangleAgainstSampling) {
  Dice dice(11);
  constexpr int kSteps = 60;
  for (int i = 0; i < 300; ++i) {
    const Triangle t = {dice.point(10), dice.point(10), dice.point(10)};
    const Vec3 p = dice.point(20);
    const double found = norm(minus(nearestOnTriangle(p, t), p));
    double sampled = std::numeric_limits<double>::infinity();
    for (int u = 0; u <= kSteps; ++u) {
      for (int v = 0; u + v <= kSteps; ++v) {
        const Vec3 along = plus(t[0], minus(t[1], t[0]), double(u) / kSteps);
        const Vec3 at = plus(along, minus(t[2], t[0]), double(v) / kSteps);
        sampled = std::min(sampled, norm(minus(at, p)));
      }
    }
    const double longest =
        std::max({norm(minus(t[1], t[0])), norm(minus(t[2], t[1])), norm(minus(t[0], t[2]))});
    EXPECT_LE(found, sampled + kMeshExactMm);
    EXPECT_GE(found, sampled - longest / kSteps);
  }
}

}  // namespace
}  // namespace leafstack
