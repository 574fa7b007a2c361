// The sweep's properties W1 to W3 by dense sampling: straight motions of random bodies, and motions
// that are not straight.
#include <gtest/gtest.h>

#include <BRepPrimAPI_MakeCylinder.hxx>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

#include "generator/geometry/moving/sweep.h"
#include "generator/occt/solids/outline.h"
#include "tests/support/dice.h"
#include "tests/support/mesh_distance.h"
#include "tests/support/triangle_distance.h"

namespace leafstack {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr double kMotionExactMm = 1e-6;
// An end found to kStretchEndMm, and what kSeparationMm does to one where the distance changes
// slowly.
constexpr double kMotionEndMm = 1e-5;
// Legs are halved until they stray by no more than a thousandth (sweep.cpp); a reading allows for
// it once each way.
constexpr double kDeviationsMm = 2e-3;

using Stretches = std::vector<Stretch>;

bool covers(const Stretches& stretches, double drive, double margin) {
  return std::any_of(stretches.begin(), stretches.end(), [&](const Stretch& one) {
    return one.from_mm - margin <= drive && drive <= one.to_mm + margin;
  });
}

// ---------------------------------------------------------------- random bodies, straight

TriangleMesh randomBody(Dice& dice) {
  const double x = dice.in(5, 60);
  const double y = dice.in(5, 30);
  const double z = dice.in(5, 30);
  switch (dice.below(3)) {
    case 0:
      return placedMesh(box({0, 0, 0}, {x, y, z}));
    case 1:
      return placedMesh(
          prism(Plane::kXZ,
                Outline::polygon({{0, 0}, {x, 0}, {x, z / 3}, {x / 3, z / 3}, {x / 3, z}, {0, z}}),
                {0, y}));
    default:
      return placedMesh(BRepPrimAPI_MakeCylinder(y / 2, z).Solid(), {}, 0.3);
  }
}

/// A scene of two random bodies, one of which passes the other more or less along X.
struct RandomScene {
  TriangleMesh a, b;
  Vec3 apart{}, velocity{};
  StraightMotion motion;
  Stretch way;

  explicit RandomScene(Dice& dice)
      : a(randomBody(dice)),
        b(randomBody(dice)),
        apart{-100, dice.in(-45, 45), dice.in(-45, 45)},
        velocity{dice.in(0.5, 2), dice.below(2) * dice.in(-0.2, 0.2), 0},
        motion(velocity),
        way{0, dice.in(80, 300)} {
    if (dice.below(2) == 0) {
      apart[0] = 100;
      velocity[0] = -velocity[0];
      motion = StraightMotion(velocity);
    }
  }
  SweptPair pair() const { return {a.tree(), b.tree(), apart, motion}; }

  /// Standing at one position of the drive.
  Clearance at(double drive) const {
    const StraightMotion still({0, 0, 0});
    return leastClearance({a.tree(), b.tree(), plus(apart, velocity, drive), still}, {0, 0},
                          {kInfinite});
  }
};

constexpr int kSamples = 80;

TEST(ClashMotion, LeastClearanceAgainstSampling) {
  Dice dice(53);
  int meeting = 0;
  for (int i = 0; i < 200; ++i) {
    SCOPED_TRACE("scene " + std::to_string(i));
    const RandomScene scene(dice);
    const Clearance found = leastClearance(scene.pair(), scene.way, {kInfinite});
    double sampled = kInfinite;
    for (int step = 0; step <= kSamples; ++step) {
      const Clearance here = scene.at(scene.way.to_mm * step / kSamples);
      sampled = std::min(sampled, here.clearance_mm);
      // Solids that meet have no clearance to be wrong about.
      EXPECT_LE(found.at_least_mm, std::max(here.at_least_mm, 0.0) + kMotionExactMm) << "W1";
    }
    EXPECT_LE(found.clearance_mm, sampled + found.error_mm + kMotionExactMm);
    const double between = norm(scene.velocity) * scene.way.to_mm / kSamples / 2;
    EXPECT_GE(found.clearance_mm, sampled - between - found.error_mm - kMotionExactMm);
    const Clearance there = scene.at(found.at_mm);
    EXPECT_NEAR(there.clearance_mm, found.clearance_mm, found.error_mm + kMotionExactMm) << "W2";
    EXPECT_NEAR(norm(minus(found.on_a, found.on_b)), found.clearance_mm, kMotionExactMm);
    meeting += found.clearance_mm <= 0 ? 1 : 0;
  }
  EXPECT_GT(meeting, 20);
  EXPECT_LT(meeting, 180);
}

TEST(ClashMotion, PlayAgainstSampledShifts) {
  Dice dice(73);
  constexpr int kPositions = 20;
  for (int i = 0; i < 60; ++i) {
    SCOPED_TRACE("scene " + std::to_string(i));
    const RandomScene scene(dice);
    const Vec3 free = {dice.in(0, 4), dice.in(0, 4), dice.in(0, 4)};
    SweptPair pair = scene.pair();
    pair.free = free;
    const Clearance found = leastClearance(pair, scene.way, {kInfinite});
    const double limit = std::max(found.at_least_mm, 0.0) + dice.in(0.5, 10);
    const Stretches least = stretchesBelow(pair, scene.way, limit, Reading::kLeast);
    RandomScene shifted = scene;
    for (int corner = 0; corner < 8; ++corner) {
      for (int axis = 0; axis < 3; ++axis) {
        const double side = (corner >> axis) % 2 == 0 ? 1 : -1;
        shifted.apart[axis] = scene.apart[axis] + side * free[axis];
      }
      for (int step = 0; step <= kPositions; ++step) {
        const double drive = scene.way.to_mm * step / kPositions;
        const double here = shifted.at(drive).at_least_mm;
        EXPECT_LE(found.at_least_mm, std::max(here, 0.0) + kMotionExactMm) << "W1";
        EXPECT_TRUE(here >= limit - kMotionExactMm || covers(least, drive, kMotionEndMm)) << "W3";
      }
    }
  }
}

TEST(ClashMotion, StretchesAgainstSampling) {
  Dice dice(59);
  int below_somewhere = 0;
  for (int i = 0; i < 150; ++i) {
    SCOPED_TRACE("scene " + std::to_string(i));
    const RandomScene scene(dice);
    const double limit = i % 3 == 0 ? 1e-4 : dice.in(0.5, 25);
    const auto stretches = [&](Reading reading) {
      return stretchesBelow(scene.pair(), scene.way, limit, reading);
    };
    const Stretches least = stretches(Reading::kLeast);
    const Stretches drawn = stretches(Reading::kDrawn);
    const Stretches most = stretches(Reading::kMost);
    below_somewhere += drawn.empty() ? 0 : 1;
    for (std::size_t one = 1; one < least.size(); ++one) {
      EXPECT_GT(least[one].from_mm, least[one - 1].to_mm) << "in order, disjoint";
    }
    for (int step = 0; step <= kSamples; ++step) {
      const double drive = scene.way.to_mm * step / kSamples;
      const Clearance here = scene.at(drive);
      EXPECT_TRUE(!covers(most, drive, -kMotionEndMm) || covers(drawn, drive, kMotionEndMm));
      EXPECT_TRUE(!covers(drawn, drive, -kMotionEndMm) || covers(least, drive, kMotionEndMm));
      if (!covers(least, drive, kMotionEndMm)) {
        EXPECT_GE(here.at_least_mm, limit - kMotionExactMm) << "W3 at " << drive;
      }
      if (covers(least, drive, -kMotionEndMm)) {
        EXPECT_LE(here.at_least_mm, limit + kMotionExactMm) << "too much at " << drive;
      }
      if (!covers(drawn, drive, kMotionEndMm)) {
        EXPECT_GE(here.clearance_mm, limit - kMotionExactMm) << "drawn, at " << drive;
      }
      if (covers(drawn, drive, -kMotionEndMm)) {
        EXPECT_LE(here.clearance_mm, limit + here.error_mm + kMotionExactMm)
            << "drawn, at " << drive;
      }
      if (covers(most, drive, -kMotionEndMm)) {
        EXPECT_LE(here.at_least_mm, limit + kMotionExactMm) << "for sure, at " << drive;
      }
    }
  }
  EXPECT_GT(below_somewhere, 40);
}

TEST(ClashMotion, EarlyStopsKeepTheirPromises) {
  Dice dice(61);
  int cut_short = 0;
  for (int i = 0; i < 300; ++i) {
    SCOPED_TRACE("scene " + std::to_string(i));
    const RandomScene scene(dice);
    const Clearance whole = leastClearance(scene.pair(), scene.way, {kInfinite});
    const double level = dice.in(0, 40);
    const Clearance enough = leastClearance(scene.pair(), scene.way, {level});
    if (whole.at_least_mm >= level) {
      EXPECT_EQ(enough.at_least_mm, level) << "nothing nearer";
      EXPECT_EQ(enough.clearance_mm, kInfinite);
      ++cut_short;
    } else {
      EXPECT_NEAR(enough.at_least_mm, whole.at_least_mm, kMotionExactMm);
      EXPECT_NEAR(enough.clearance_mm, whole.clearance_mm, whole.error_mm + kMotionExactMm);
    }
    const Clearance unless = leastClearance(scene.pair(), scene.way, {kInfinite, level});
    if (whole.at_least_mm > level + kMotionExactMm) {
      EXPECT_NEAR(unless.at_least_mm, whole.at_least_mm, kMotionExactMm) << "proved to be more";
    } else if (whole.at_least_mm < level - kMotionExactMm) {
      EXPECT_LE(unless.at_least_mm, level);
    }
    const Clearance within =
        leastClearance(scene.pair(), scene.way, {kInfinite, -kInfinite, level});
    EXPECT_GE(within.clearance_mm, whole.clearance_mm - whole.error_mm - kMotionExactMm);
    if (whole.clearance_mm + whole.error_mm < level - kMotionExactMm) {
      EXPECT_LE(within.clearance_mm + within.error_mm, level) << "surely within";
      const Clearance there = scene.at(within.at_mm);
      EXPECT_LE(there.at_least_mm, level);
    } else if (whole.at_least_mm > level) {
      EXPECT_NEAR(within.at_least_mm, whole.at_least_mm, kMotionExactMm);
    }
  }
  EXPECT_GT(cut_short, 20);
}

/// Searches that may not finish keep their bounds against those that do.
TEST(ClashMotion, EffortThatRunsOutKeepsTheBounds) {
  Dice dice(79);
  int cut = 0;
  for (int i = 0; i < 200; ++i) {
    SCOPED_TRACE("scene " + std::to_string(i));
    const RandomScene scene(dice);
    const double limit = dice.in(0.5, 25);
    const long long granted = dice.below(2000);
    const auto with = [&](Effort& effort) {
      SweptPair pair = scene.pair();
      pair.effort = &effort;
      return pair;
    };
    const Clearance whole = leastClearance(scene.pair(), scene.way, {kInfinite});
    Effort for_least(granted);
    EXPECT_LE(leastClearance(with(for_least), scene.way, {kInfinite}).at_least_mm,
              whole.at_least_mm + kMotionExactMm)
        << "W1";
    EXPECT_LE(for_least.taken(), granted);
    cut += for_least.isCut() ? 1 : 0;
    Effort for_stretches(granted);
    const Stretches bounded =
        stretchesBelow(with(for_stretches), scene.way, limit, Reading::kLeast);
    Effort for_sure(granted);
    const Stretches sure = stretchesBelow(with(for_sure), scene.way, limit, Reading::kMost);
    const Stretches least = stretchesBelow(scene.pair(), scene.way, limit, Reading::kLeast);
    for (int step = 0; step <= kSamples; ++step) {
      const double drive = scene.way.to_mm * step / kSamples;
      EXPECT_TRUE(!covers(least, drive, -kMotionEndMm) || covers(bounded, drive, kMotionEndMm))
          << "W3";
      EXPECT_TRUE(!covers(sure, drive, -kMotionEndMm) || covers(least, drive, kMotionEndMm));
    }
  }
  EXPECT_GT(cut, 30);
  EXPECT_LT(cut, 190);
}

TEST(ClashMotion, LongThinTrianglesHaveTrueEnds) {
  // Halves of a strip of 4000 by half a millimetre, slid over each other by 2000, 0.1 apart.
  Dice dice(67);
  const Triangle half = {Vec3{0, 0, 0}, Vec3{4000, 0, 0}, Vec3{4000, 0.5, 0}};
  const HullTree one({{half, 0}});
  for (int i = 0; i < 100; ++i) {
    SCOPED_TRACE("pair " + std::to_string(i));
    const HullTree other({{{half[1], half[i % 2 == 0 ? 0 : 2], half[i % 2 == 0 ? 2 : 0]}, 0}});
    const Vec3 apart = {dice.in(-3000, 1000), dice.in(-0.9, 0.9), 0.1};
    const StraightMotion along({1, 0, 0});
    const double limit = dice.in(0.11, 0.4);
    const Stretches found =
        stretchesBelow({one, other, apart, along}, {0, 2000}, limit, Reading::kDrawn);
    for (int step = 0; step <= 400; ++step) {
      const double drive = 5.0 * step;
      Triangle there = half;
      for (Vec3& point : there) {
        point = plus(point, plus(apart, {drive, 0, 0}));
      }
      const double distance = triangleDistance(half, there).distance_mm;
      // It may change by as little as a thousandth in 8 mm: the closed form's digits leave the ends
      // open by a hundredth of a mm.
      EXPECT_TRUE(covers(found, drive, 0.5) || distance >= limit - kMotionExactMm) << drive;
      EXPECT_TRUE(!covers(found, drive, -0.5) || distance <= limit + kMotionExactMm) << drive;
    }
  }
}

// ---------------------------------------------------------------- motions that are not straight

/// A chord's middle strays by at most |p''| length^2 / 8 from a curve p, whatever the curve.
double strayOf(double second_derivative, const Stretch& stretch) {
  const double length = stretch.to_mm - stretch.from_mm;
  return second_derivative * length * length / 8;
}

/// On an arc of `radius` in the XZ plane, a mm for every mm of the drive, level at the start.
class ArcMotion : public RelativeMotion {
 public:
  explicit ArcMotion(double radius) : radius_(radius) {}
  Vec3 at(double drive) const {
    const double turn = drive / radius_;
    return {radius_ * std::sin(turn), 0, radius_ * (1 - std::cos(turn))};
  }
  Chord chord(const Stretch& stretch) const override {
    return {{at(stretch.from_mm)}, {at(stretch.to_mm)}, strayOf(1 / radius_, stretch)};
  }

 private:
  double radius_;
};

/// Along X, and up and down by `amplitude` once in `period`.
class WavyMotion : public RelativeMotion {
 public:
  WavyMotion(double amplitude, double period)
      : amplitude_(amplitude), pace_(2 * std::numbers::pi / period) {}
  Vec3 at(double drive) const { return {drive, 0, amplitude_ * std::sin(pace_ * drive)}; }
  Chord chord(const Stretch& stretch) const override {
    return {
        {at(stretch.from_mm)}, {at(stretch.to_mm)}, strayOf(amplitude_ * pace_ * pace_, stretch)};
  }

 private:
  double amplitude_, pace_;
};

/// Distance of two boxes, in closed form.
double distanceOf(const Bounds& a, const Bounds& b, const Vec3& shift) {
  Vec3 gap{};
  for (int axis = 0; axis < 3; ++axis) {
    gap[axis] = std::max(
        {0.0, a.low[axis] - b.high[axis] - shift[axis], b.low[axis] + shift[axis] - a.high[axis]});
  }
  return norm(gap);
}

/// Two boxes, one carried along a curve.
template <class Motion>
struct CurvedScene {
  Bounds a, b;
  Motion motion;
  Stretch way;

  double distanceAt(double drive) const { return distanceOf(a, b, motion.at(drive)); }

  /// W1 to W3 against 4000 positions.
  void expectSound(double limit) const {
    const TriangleMesh mesh_a = placedMesh(box(a.low, a.high));
    const TriangleMesh mesh_b = placedMesh(box(b.low, b.high));
    const SweptPair pair{mesh_a.tree(), mesh_b.tree(), {}, motion};
    const Clearance found = leastClearance(pair, way, {kInfinite});
    const auto stretches = [&](Reading reading) {
      return stretchesBelow(pair, way, limit, reading);
    };
    const Stretches least = stretches(Reading::kLeast);
    const Stretches most = stretches(Reading::kMost);
    constexpr int kPositions = 4000;
    double sampled = kInfinite;
    for (int step = 0; step <= kPositions; ++step) {
      const double drive = way.from_mm + (way.to_mm - way.from_mm) * step / kPositions;
      const double here = distanceAt(drive);
      sampled = std::min(sampled, here);
      EXPECT_TRUE(here >= limit || covers(least, drive, kMotionEndMm)) << "W3 at " << drive;
      EXPECT_TRUE(here < limit + kDeviationsMm + kMotionExactMm ||
                  !covers(least, drive, -kMotionEndMm))
          << drive;
      EXPECT_TRUE(here < limit + kMotionExactMm || !covers(most, drive, -kMotionEndMm)) << drive;
      EXPECT_TRUE(here > limit - kDeviationsMm - kMotionExactMm ||
                  covers(most, drive, kMotionEndMm))
          << drive;
    }
    EXPECT_LE(found.at_least_mm, sampled + kMotionExactMm) << "W1";
    EXPECT_GE(found.at_least_mm, sampled - (way.to_mm - way.from_mm) / kPositions - kDeviationsMm);
    EXPECT_LE(found.error_mm, kDeviationsMm)
        << "legs are halved until they are as good as straight";
    EXPECT_NEAR(distanceAt(found.at_mm), found.clearance_mm, found.error_mm + kMotionExactMm)
        << "W2";
  }
};

TEST(ClashMotion, BoxOnAnArcPastABox) {
  // Past a box under the arc's way, on a quarter of a turn and on three quarters.
  for (double low : {20.0, 90.0}) {
    for (double turn : {0.5, 1.5}) {
      SCOPED_TRACE(std::to_string(low) + ", " + std::to_string(turn));
      const CurvedScene<ArcMotion> scene{{{150, -5, low}, {190, 5, low + 30}},
                                         {{0, 0, 0}, {20, 8, 12}},
                                         ArcMotion(300),
                                         {0, turn * std::numbers::pi * 300}};
      scene.expectSound(12);
      scene.expectSound(0.01);
    }
  }
}

TEST(ClashMotion, SlowWaveThatAChordDoesNotShow) {
  // One period over the travel: the chord of all of it is level, and so are those of its halves.
  for (double amplitude : {0.05, 4e-4, 5.0}) {
    SCOPED_TRACE("amplitude " + std::to_string(amplitude));
    const double gap = 0.6 * amplitude;
    const CurvedScene<WavyMotion> scene{{{-500, -50, -20}, {5000, 50, 0}},
                                        {{0, 0, gap}, {40, 20, 30}},
                                        WavyMotion(amplitude, 2000),
                                        {0, 2000}};
    scene.expectSound(0.3 * amplitude);
    // It dips into the slab under it while amplitude sin < -gap.
    const CurvedScene<WavyMotion> clear{{{-500, -50, -20}, {5000, 50, 0}},
                                        {{0, 0, 1.5 * amplitude}, {40, 20, 30}},
                                        WavyMotion(amplitude, 2000),
                                        {0, 2000}};
    clear.expectSound(amplitude);
  }
}

// ---------------------------------------------------------------- stretches

TEST(ClashStretches, GapsAreWhatUnitedLeaves) {
  Dice dice(71);
  for (int i = 0; i < 200; ++i) {
    Stretches some;
    for (int count = dice.below(8); count > 0; --count) {
      const double from = dice.below(90);
      some.push_back({from, from + dice.below(20)});
    }
    const Stretches taken = united(some);
    const Stretches gaps = gapsBetween(taken, {0, 100});
    for (double drive = 0.5; drive < 100; ++drive) {
      EXPECT_EQ(covers(taken, drive, 0), covers(some, drive, 0));
      EXPECT_NE(covers(taken, drive, 0), covers(gaps, drive, 0));
    }
  }
}

}  // namespace
}  // namespace leafstack
