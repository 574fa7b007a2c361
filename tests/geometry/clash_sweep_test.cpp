// Two bodies over a stretch of travel, in closed form: least clearance, and where they are too
// near.
#include "generator/geometry/moving/sweep.h"

#include <gtest/gtest.h>

#include <BRepPrimAPI_MakeCylinder.hxx>
#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "generator/clash/proof/proof.h"
#include "generator/occt/solids/outline.h"
#include "tests/support/mesh_distance.h"

namespace leafstack {
namespace {

constexpr double kNoLimit = std::numeric_limits<double>::infinity();
// Two ends of kStretchEndMm, and what kSeparationMm does to one where the distance changes slowly.
constexpr double kSweepEndMm = 3e-6;
constexpr double kSweepExactMm = 1e-6;

using Stretches = std::vector<Stretch>;

/// Body b starts `apart` from a and goes `velocity` for every mm of the drive.
struct Scene {
  TriangleMesh a, b;
  Vec3 apart{}, velocity{};
  Vec3 free{};

  Clearance least(const Stretch& stretch, const Wanted& wanted = {kNoLimit}) const {
    const StraightMotion motion(velocity);
    return leastClearance({a.tree(), b.tree(), apart, motion, free}, stretch, wanted);
  }
  Stretches below(const Stretch& stretch, double limit, Reading reading = Reading::kDrawn) const {
    const StraightMotion motion(velocity);
    return stretchesBelow({a.tree(), b.tree(), apart, motion, free}, stretch, limit, reading);
  }
  double error() const { return a.errorMm() + b.errorMm(); }
};

void expectStretches(const Stretches& found, const Stretches& expected,
                     double within = kSweepEndMm) {
  ASSERT_EQ(found.size(), expected.size());
  for (std::size_t i = 0; i < found.size(); ++i) {
    EXPECT_NEAR(found[i].from_mm, expected[i].from_mm, within) << "stretch " << i;
    EXPECT_NEAR(found[i].to_mm, expected[i].to_mm, within) << "stretch " << i;
  }
}

/// Every stretch of `inner` lies within one of `outer`.
void expectWithin(const Stretches& inner, const Stretches& outer) {
  for (const Stretch& one : inner) {
    EXPECT_TRUE(std::any_of(outer.begin(), outer.end(),
                            [&](const Stretch& all) {
                              return all.from_mm <= one.from_mm + kSweepEndMm &&
                                     one.to_mm <= all.to_mm + kSweepEndMm;
                            }))
        << one.from_mm << " to " << one.to_mm;
  }
}

/// A true stretch, as far as meshes can tell: between the readings, and near it as drawn.
void expectBracketed(const Scene& scene, const Stretch& stretch, double limit,
                     const Stretches& expected) {
  const Stretches least = scene.below(stretch, limit, Reading::kLeast);
  const Stretches most = scene.below(stretch, limit, Reading::kMost);
  const Stretches drawn = scene.below(stretch, limit);
  expectWithin(most, expected);
  expectWithin(expected, least);
  expectWithin(most, drawn);
  expectWithin(drawn, least);
  // Where these scenes' distances cross their limits they change by half a millimetre a millimetre
  // at least.
  expectStretches(drawn, expected, 2 * scene.error() / std::abs(scene.velocity[0]) + kSweepEndMm);
}

TriangleMesh cylinder(double radius, double height, double deflection) {
  return placedMesh(BRepPrimAPI_MakeCylinder(radius, height).Solid(), {}, deflection);
}

// ---------------------------------------------------------------- boxes

/// A block of 20 carried past a cube of 100, 500 mm along X and back, `y` and `z` aside.
Scene pastTheCube(double y, double z, double speed) {
  return {placedMesh(box({0, 0, 0}, {100, 100, 100})),
          placedMesh(box({0, 0, 0}, {20, 20, 20})),
          {speed > 0 ? -200.0 : 300.0, y, z},
          {speed, 0, 0}};
}

Stretch wayPast(double speed) {
  return {0, 500 / std::abs(speed)};
}

/// Drive over which the block's low X lies between `from` and `to`.
Stretches driveFor(const Scene& scene, double from, double to) {
  const double one = (from - scene.apart[0]) / scene.velocity[0];
  const double other = (to - scene.apart[0]) / scene.velocity[0];
  return {{std::min(one, other), std::max(one, other)}};
}

TEST(ClashSweep, BoxPastBox) {
  for (double speed : {1.0, -1.0, 0.5}) {
    SCOPED_TRACE("speed " + std::to_string(speed));
    const Stretch way = wayPast(speed);
    // 5 aside; within 13 while the gap along X is below sqrt(13^2 - 5^2) = 12.
    const Scene apart = pastTheCube(105, 30, speed);
    EXPECT_NEAR(apart.least(way).clearance_mm, 5, kSweepExactMm);
    EXPECT_NEAR(apart.least(way).at_least_mm, 5, kSweepExactMm);
    expectStretches(apart.below(way, 13), driveFor(apart, -20 - 12, 100 + 12));
    EXPECT_TRUE(apart.below(way, 5 - kSweepExactMm).empty());
    expectStretches(
        apart.below(way, 5 + 1e-3),
        driveFor(apart, -20 - std::sqrt(5.001 * 5.001 - 25), 100 + std::sqrt(5.001 * 5.001 - 25)),
        1e-4);  // the distance changes by a fiftieth of the travel there
    // Touching: no distance from where the ends pass each other, to the limit.
    const Scene touching = pastTheCube(100, 30, speed);
    EXPECT_EQ(touching.least(way).clearance_mm, 0);
    expectStretches(touching.below(way, kTouchMm),
                    driveFor(touching, -20 - kTouchMm, 100 + kTouchMm));
    // Overlapping by 10: the same, and the limit along X alone.
    const Scene through = pastTheCube(90, 30, speed);
    EXPECT_EQ(through.least(way).clearance_mm, 0);
    expectStretches(through.below(way, kTouchMm),
                    driveFor(through, -20 - kTouchMm, 100 + kTouchMm));
    expectStretches(through.below(way, 7), driveFor(through, -27, 107));
  }
}

TEST(ClashSweep, StretchesEndWithTheTravel) {
  const Scene scene = pastTheCube(90, 30, 1);
  expectStretches(scene.below({200, 250}, 3), {{200, 250}});
  expectStretches(scene.below({100, 190}, 3), {{177, 190}});
  expectStretches(scene.below({250, 250}, 3), {{250, 250}});
  EXPECT_TRUE(scene.below({0, 170}, 3).empty());
  EXPECT_TRUE(scene.below({310, 500}, 3).empty());
}

TEST(ClashSweep, DisjointStretchesOnACombAreKeptApart) {
  // Teeth at X 40 to 60 and 140 to 160, a block of 10: it meets them while its low X is in 30 to 60
  // and 130 to 160.
  const TopoDS_Shape comb = prism(Plane::kXZ,
                                  Outline::polygon({{0, 0},
                                                    {200, 0},
                                                    {200, 10},
                                                    {160, 10},
                                                    {160, 50},
                                                    {140, 50},
                                                    {140, 10},
                                                    {60, 10},
                                                    {60, 50},
                                                    {40, 50},
                                                    {40, 10},
                                                    {0, 10}}),
                                  {0, 20});
  Scene scene{placedMesh(comb), placedMesh(box({0, -5, 30}, {10, 25, 40})), {-50, 0, 0}, {1, 0, 0}};
  const Stretch way = {0, 400};
  expectStretches(scene.below(way, kTouchMm),
                  {{80 - kTouchMm, 110 + kTouchMm}, {180 - kTouchMm, 210 + kTouchMm}});
  expectStretches(scene.below(way, 5), {{75, 115}, {175, 215}});
  // Within 21 of the back, 20 below, while no more than sqrt(21^2 - 20^2) past its ends: one
  // stretch.
  const double past = std::sqrt(41.0);
  expectStretches(scene.below(way, 21), {{40 - past, 250 + past}});
  // 2 above the teeth: within 5.2 while sqrt(5.2^2 - 2^2) = 4.8 of them along X.
  scene.apart[2] = 22;
  expectStretches(scene.below(way, 5.2), {{80 - 4.8, 110 + 4.8}, {180 - 4.8, 210 + 4.8}});
}

// ---------------------------------------------------------------- round bodies

TEST(ClashSweep, CylinderPastBox) {
  for (double deflection : {0.1, 0.01}) {
    // Axis 6 off the cube's face, radius 10: they meet until sqrt(10^2 - 6^2) = 8 past its edge.
    Scene scene{placedMesh(box({0, 0, 0}, {100, 100, 100})),
                cylinder(10, 50, deflection),
                {-200, 106, 20},
                {1, 0, 0}};
    expectBracketed(scene, {0, 500}, kTouchMm, driveFor(scene, -8, 108));
    // Within 5 of it: 10 + 5 about the axis, 9 off: sqrt(15^2 - 9^2) = 12.
    scene.apart[1] = 109;
    expectBracketed(scene, {0, 500}, 5, driveFor(scene, -12, 112));
    // 14 off: 4 between them.
    scene.apart[1] = 114;
    const Clearance least = scene.least({0, 500});
    EXPECT_LE(least.at_least_mm, 4 + kSweepExactMm);
    EXPECT_GE(least.at_least_mm, 4 - 2 * scene.error());
    EXPECT_NEAR(least.clearance_mm, 4, least.error_mm + kSweepExactMm);
  }
}

TEST(ClashSweep, BarSlidesOutOfATube) {
  // 5 all round while any of it is inside; past the end by x, sqrt(x^2 + 5^2).
  const auto round = [](double radius, std::vector<Outline> holes) {
    return placedMesh(prism(Plane::kYZ, Outline::circle({0, 0}, radius), holes, {0, 500}), {},
                      0.02);
  };
  const Scene out{round(24, {Outline::circle({0, 0}, 20)}), round(15, {}), {}, {1, 0, 0}};
  const Stretch way = {0, 600};
  const Clearance least = out.least(way);
  EXPECT_LE(least.at_least_mm, 5 + kSweepExactMm);
  EXPECT_NEAR(least.clearance_mm, 5, least.error_mm + kSweepExactMm);
  EXPECT_TRUE(out.below(way, 5 - 2 * out.error(), Reading::kLeast).empty());
  expectBracketed(out, way, 6, {{0, 500 + std::sqrt(11.0)}});
  expectBracketed(out, way, 13, {{0, 512}});
  // And back in, at half the speed: from 600 out, inside once 100 are travelled, 200 of the drive.
  const Scene in{out.a, out.b, {600, 0, 0}, {-0.5, 0, 0}};
  expectBracketed(in, {0, 1200}, 13, {{2 * (100 - 12), 1200}});
}

// ---------------------------------------------------------------- strands of rope

constexpr double kRopeRadiusMm = 1.5;

TEST(ClashSweep, StrandGrowsTowardsABlock) {
  // 100 long, growing half as fast as the drive, rounded by 1.5, towards a block at 300: 300 - 100
  // - t / 2 - 1.5 between them.
  const HullTree strand = HullTree::strand({0, 0, 0}, {100, 0, 0}, kRopeRadiusMm, 0.5);
  const TriangleMesh block = placedMesh(box({300, -5, -5}, {310, 5, 5}));
  const StraightMotion still({0, 0, 0});
  const SweptPair pair{strand, block.tree(), {}, still, {}};
  const Clearance before = leastClearance(pair, {0, 300}, {kNoLimit});
  EXPECT_NEAR(before.clearance_mm, 48.5, kSweepExactMm);
  EXPECT_NEAR(before.at_least_mm, 48.5, kSweepExactMm);
  EXPECT_NEAR(before.at_mm, 300, kSweepExactMm);
  expectStretches(stretchesBelow(pair, {0, 500}, 3, Reading::kDrawn), {{391, 500}});
  expectStretches(stretchesBelow(pair, {0, 500}, kTouchMm, Reading::kDrawn),
                  {{397 - 2 * kTouchMm, 500}});
  EXPECT_NEAR(leastClearance(pair, {0, 500}, {kNoLimit}).clearance_mm, -kRopeRadiusMm,
              kSweepExactMm)
      << "centre line and block cross";
  // The block seen as body a.
  expectStretches(
      stretchesBelow({block.tree(), strand, {}, still, {}}, {0, 500}, 3, Reading::kDrawn),
      {{391, 500}});
  // Standing at one position it is what it is there.
  for (double drive : {0.0, 300.0}) {
    EXPECT_NEAR(nearest(strand.standingAt(drive), block.tree()).clearance_mm, 198.5 - drive / 2,
                kSweepExactMm);
  }
}

TEST(ClashSweep, StrandWhoseFarEndStands) {
  // Carried along X as fast as it is drawn in: from t to 100. A block from 10 to 20, 4 beside it,
  // is within 3.5 until the near end is 3 past it.
  const HullTree strand = HullTree::strand({0, 0, 0}, {100, 0, 0}, kRopeRadiusMm, -1);
  const TriangleMesh block = placedMesh(box({10, 4, -5}, {20, 10, 5}));
  const StraightMotion along({1, 0, 0});
  expectStretches(
      stretchesBelow({block.tree(), strand, {}, along, {}}, {0, 90}, 3.5, Reading::kDrawn),
      {{0, 23}});
}

}  // namespace
}  // namespace leafstack
