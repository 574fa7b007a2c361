// How near two convex pieces come while one moves past the other: against the closed form of two
// triangles (triangle_distance.h), position by position.
#include "generator/geometry/moving/separation.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/support/dice.h"
#include "tests/support/triangle_distance.h"

namespace leafstack {
namespace {

constexpr double kUnlimited = std::numeric_limits<double>::infinity();
constexpr FreeShift kNotFree = {};
// Rounding of coordinates of tens of metres.
constexpr double kRoundingMm = 1e-9;
// The closed form has fewer digits than the search where edges are nearly parallel.
constexpr double kClosedFormMm = 1e-6;

// ---------------------------------------------------------------- shapes

Triangle movedBy(const Triangle& shape, const Vec3& by) {
  return {plus(shape[0], by), plus(shape[1], by), plus(shape[2], by)};
}

MovingHull standing(const Triangle& shape) {
  return {{shape, shape}, true};
}

MovingHull moving(const Triangle& shape, const Vec3& from, const Vec3& to) {
  return {{movedBy(shape, from), movedBy(shape, to)}, false};
}

Triangle shapeAt(const MovingHull& hull, double at) {
  Triangle shape = hull.points[0];
  for (int i = 0; i < 3 && !hull.stands; ++i) {
    shape[i] = plus(shape[i], minus(hull.points[1][i], hull.points[0][i]), at);
  }
  return shape;
}

double distanceAt(const MovingHull& a, const MovingHull& b, double at, const Vec3& shift = {}) {
  return triangleDistance(shapeAt(a, at), movedBy(shapeAt(b, at), shift)).distance_mm;
}

/// A point, a segment or a triangle, within `span` of `centre`.
Triangle randomShape(Dice& dice, const Vec3& centre, double span) {
  const int corners = 1 + dice.below(3);
  Triangle shape{};
  for (int i = 0; i < 3; ++i) {
    shape[i] = i < corners ? plus(centre, dice.point(span)) : shape[corners - 1];
  }
  return shape;
}

/// Two shapes of up to 20 mm, crossing, near and far by turns; every other pair far from the
/// origin.
struct RandomPair {
  Triangle a, b;
};
RandomPair randomPair(Dice& dice, int number) {
  constexpr double kAparts[] = {2, 15, 200};
  const Vec3 site = number % 2 == 0 ? Vec3{} : dice.point(1e4);
  return {randomShape(dice, site, 10),
          randomShape(dice, plus(site, dice.point(kAparts[number % 3])), 10)};
}

Separation separated(const MovingHull& a, const MovingHull& b) {
  return leastSeparation(a, b, kNotFree, kUnlimited);
}

/// S2 and S3; points on their shapes as far as the closed form can tell.
void expectSound(const MovingHull& a, const MovingHull& b, const Separation& found,
                 double on_shape_mm = kSeparationMm) {
  EXPECT_GE(found.at, -kRoundingMm);
  EXPECT_LE(found.at, 1 + kRoundingMm);
  EXPECT_NEAR(norm(minus(found.on_a, found.on_b)), found.distance_mm,
              std::min(on_shape_mm, kClosedFormMm));
  const Vec3 off_a = minus(nearestOnTriangle(found.on_a, shapeAt(a, found.at)), found.on_a);
  const Vec3 off_b = minus(nearestOnTriangle(found.on_b, shapeAt(b, found.at)), found.on_b);
  EXPECT_LE(norm(off_a), on_shape_mm) << "a's point is off its shape";
  EXPECT_LE(norm(off_b), on_shape_mm) << "b's point is off its shape";
  EXPECT_LE(found.at_least_mm, found.distance_mm);
  EXPECT_LE(found.distance_mm - found.at_least_mm, kSeparationMm + kRoundingMm);
}

// ---------------------------------------------------------------- standing

TEST(ClashSeparation, OracleAgreesWithGrids) {
  // The closed form itself, against a grid on one triangle: too high by the grid's reach at most.
  Dice dice(5);
  constexpr int kSteps = 40;
  for (int i = 0; i < 200; ++i) {
    const Triangle a = {dice.point(10), dice.point(10), dice.point(10)};
    const Triangle b =
        movedBy({dice.point(10), dice.point(10), dice.point(10)}, dice.point(i % 2 == 0 ? 4 : 25));
    double sampled = kUnlimited;
    for (int u = 0; u <= kSteps; ++u) {
      for (int v = 0; u + v <= kSteps; ++v) {
        const Vec3 along = plus(a[0], minus(a[1], a[0]), double(u) / kSteps);
        const Vec3 at = plus(along, minus(a[2], a[0]), double(v) / kSteps);
        sampled = std::min(sampled, norm(minus(nearestOnTriangle(at, b), at)));
      }
    }
    const double reach =
        std::max({norm(minus(a[1], a[0])), norm(minus(a[2], a[1])), norm(minus(a[0], a[2]))}) /
        kSteps;
    const double found = triangleDistance(a, b).distance_mm;
    EXPECT_LE(found, sampled + kRoundingMm);
    EXPECT_GE(found, sampled - reach);
  }
}

TEST(ClashSeparation, StandingShapesAgainstTheClosedForm) {
  Dice dice(11);
  int crossing = 0;
  int apart = 0;
  for (int i = 0; i < 6000; ++i) {
    SCOPED_TRACE("pair " + std::to_string(i));
    const auto [a, b] = randomPair(dice, i);
    const double expected = triangleDistance(a, b).distance_mm;
    const Separation found = separated(standing(a), standing(b));
    EXPECT_NEAR(found.distance_mm, expected, kClosedFormMm);
    EXPECT_LE(found.at_least_mm, expected + kRoundingMm) << "S1";
    expectSound(standing(a), standing(b), found);
    // The other way round, and moved together.
    EXPECT_NEAR(separated(standing(b), standing(a)).distance_mm, expected, kClosedFormMm);
    const Vec3 to = dice.point(100);
    EXPECT_NEAR(separated(moving(a, {}, to), moving(b, {}, to)).distance_mm, expected,
                kClosedFormMm);
    crossing += expected == 0 ? 1 : 0;
    apart += expected > 0 ? 1 : 0;
  }
  EXPECT_GT(crossing, 100) << "some of them must cross";
  EXPECT_GT(apart, 1000);
}

struct Known {
  const char* name;
  Triangle a, b;
  double distance_mm;
};

TEST(ClashSeparation, KnownDistancesOfFlatAndTouchingOnes) {
  const Triangle flat = {Vec3{0, 0, 0}, Vec3{40, 0, 0}, Vec3{0, 30, 0}};
  const Vec3 centre = {10, 10, 0};
  const Triangle over = {Vec3{400, -5, 3}, Vec3{600, -5, 3}, Vec3{500, 5, 3}};
  const Known all[] = {
      {"parallel faces, one over the other", flat, movedBy(flat, {2, 1, 7}), 7},
      {"parallel faces, side by side: 3-4-5", flat, movedBy(flat, {43, 0, 4}), 5},
      {"one plane, apart", flat, {Vec3{0, -3, 0}, Vec3{9, -3, 0}, Vec3{5, -20, 0}}, 3},
      {"one plane, overlapping", flat, movedBy(flat, {5, 5, 0}), 0},
      {"identical", flat, flat, 0},
      {"a shared edge, folded", flat, {Vec3{0, 0, 0}, Vec3{40, 0, 0}, Vec3{20, 0, 50}}, 0},
      {"a shared edge, one plane", flat, {Vec3{0, 0, 0}, Vec3{40, 0, 0}, Vec3{20, -9, 0}}, 0},
      {"a shared corner", flat, {Vec3{0, 0, 0}, Vec3{-9, 0, 5}, Vec3{0, -9, 5}}, 0},
      {"a corner on a face", flat, {centre, Vec3{10, 10, 9}, Vec3{20, 10, 9}}, 0},
      {"a corner over a face", flat, {Vec3{10, 10, 2}, Vec3{10, 10, 9}, Vec3{20, 10, 9}}, 2},
      {"a point in a face", flat, {centre, centre, centre}, 0},
      {"a point over a face", flat, {Vec3{5, 5, 4}, Vec3{5, 5, 4}, Vec3{5, 5, 4}}, 4},
      {"a segment through a face", flat, {Vec3{5, 5, -9}, Vec3{5, 5, 9}, Vec3{5, 5, 9}}, 0},
      {"no area: corners in line", {Vec3{0, 0, 0}, Vec3{1000, 0, 0}, Vec3{500, 0, 0}}, over, 3},
      {"no width", {Vec3{0, 0, 0}, Vec3{1000, 0, 0}, Vec3{1000, 1e-7, 0}}, over, 3},
      {"no area, twice",
       {Vec3{0, 0, 0}, Vec3{9, 0, 0}, Vec3{5, 0, 0}},
       {Vec3{3, -5, 2}, Vec3{3, 5, 2}, Vec3{3, 1, 2}},
       2},
      {"a hundredth of a micron", flat, movedBy(flat, {0, 0, 1e-5}), 1e-5}};
  for (const Known& known : all) {
    SCOPED_TRACE(known.name);
    for (const Vec3& site : {Vec3{}, Vec3{12000, -300, 2500}}) {
      const MovingHull a = standing(movedBy(known.a, site));
      const MovingHull b = standing(movedBy(known.b, site));
      const Separation found = separated(a, b);
      EXPECT_NEAR(found.distance_mm, known.distance_mm, kSeparationMm);
      EXPECT_LE(found.at_least_mm, known.distance_mm + kRoundingMm) << "S1";
      expectSound(a, b, found);
    }
  }
}

// ---------------------------------------------------------------- moving

/// Least of many samples; off by no more than half a step of the two shapes' movement.
double sampledLeast(const MovingHull& a, const MovingHull& b, int steps) {
  double least = kUnlimited;
  for (int i = 0; i <= steps; ++i) {
    least = std::min(least, distanceAt(a, b, double(i) / steps));
  }
  return least;
}

/// How far any point of b moves as seen from any point of a, at most.
double movement(const MovingHull& a, const MovingHull& b) {
  double most = 0;
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j) {
      const Vec3 of_a = minus(a.points[1][i], a.points[0][i]);
      most = std::max(most, norm(minus(minus(b.points[1][j], b.points[0][j]), of_a)));
    }
  }
  return most;
}

/// S1 to S3 of a pair, by sampling.
void expectLeastOverTheStretch(const MovingHull& a, const MovingHull& b) {
  constexpr int kSteps = 60;
  const Separation found = separated(a, b);
  const double sampled = sampledLeast(a, b, kSteps);
  EXPECT_LE(found.at_least_mm, sampled + kRoundingMm) << "S1";
  EXPECT_LE(found.distance_mm, sampled + kClosedFormMm);
  EXPECT_GE(found.distance_mm, sampled - movement(a, b) / kSteps / 2 - kClosedFormMm);
  EXPECT_NEAR(found.distance_mm, distanceAt(a, b, found.at), kClosedFormMm) << "S2";
  expectSound(a, b, found);
}

TEST(ClashSeparation, MovingShapesAgainstSampling) {
  Dice dice(17);
  int crossing = 0;
  for (int i = 0; i < 6000; ++i) {
    SCOPED_TRACE("pair " + std::to_string(i));
    const auto [at_a, at_b] = randomPair(dice, i);
    const MovingHull a = i % 4 == 0 ? standing(at_a) : moving(at_a, dice.point(5), dice.point(30));
    const MovingHull b = i % 4 == 1 ? standing(at_b) : moving(at_b, dice.point(5), dice.point(30));
    const MovingHull still_a = {{a.points[0], a.stands ? a.points[0] : a.points[1]}, false};
    expectLeastOverTheStretch(a, b);
    EXPECT_NEAR(separated(a, b).distance_mm, separated(still_a, b).distance_mm, kSeparationMm)
        << "standing is moving nowhere";
    crossing += separated(a, b).distance_mm == 0 ? 1 : 0;
  }
  EXPECT_GT(crossing, 100);
}

TEST(ClashSeparation, SegmentThatGrowsAlongX) {
  Dice dice(19);
  for (int i = 0; i < 800; ++i) {
    SCOPED_TRACE("pair " + std::to_string(i));
    const Vec3 near = dice.point(20);
    const double side = i % 2 == 0 ? 1 : -1;
    const auto strand = [&](const Vec3& carried) {
      const Vec3 start = plus(near, carried);
      const Vec3 end = plus(start, {side * dice.in(0.5, 60), 0, 0});
      return Triangle{start, end, end};
    };
    const Vec3 along = {dice.in(-40, 40), 0, 0};
    const MovingHull rope = {{strand({}), strand(along)}, false};
    const Triangle other = randomShape(dice, dice.point(40), 10);
    expectLeastOverTheStretch(rope, moving(other, {}, dice.point(40)));
    expectLeastOverTheStretch(standing(other), rope);
  }
}

// ---------------------------------------------------------------- long thin triangles

// A long face's triangles, a gate's width long, half a millimetre wide.
constexpr double kLongMm = 4000, kWideMm = 0.5, kTravelMm = 2000, kGapMm = 0.1;
// The closed form divides by such a triangle's area squared, and finds the foot of a point only to
// this along it (greatest met: 1.1e-5).
constexpr double kOnThinMm = 5e-5;

Triangle turnedAboutX(const Triangle& shape, double turn) {
  Triangle turned = shape;
  for (Vec3& point : turned) {
    point = {point[0], std::cos(turn) * point[1] - std::sin(turn) * point[2],
             std::sin(turn) * point[1] + std::cos(turn) * point[2]};
  }
  return turned;
}

/// Half of a strip kLongMm by kWideMm, either half, either end first.
Triangle halfStrip(Dice& dice) {
  const double long_end = dice.below(2) * kLongMm;
  const double wide_end = dice.below(2) * kWideMm;
  const Triangle half = {Vec3{kLongMm - long_end, wide_end, 0}, Vec3{long_end, wide_end, 0},
                         Vec3{long_end, kWideMm - wide_end, 0}};
  const int first = dice.below(3);
  return {half[first], half[(first + 1) % 3], half[(first + 2) % 3]};
}

TEST(ClashSeparation, LongThinTrianglesKeepTheirDigits) {
  // Both halves take up their strip's width somewhere, and slide past all of each other: one over
  // the other by kGapMm, that is their least distance. All turned about X, which changes nothing.
  Dice dice(29);
  for (int i = 0; i < 4000; ++i) {
    SCOPED_TRACE("pair " + std::to_string(i));
    const double turn = i % 3 == 0 ? 0 : dice.in(0, 2 * std::numbers::pi);
    const Vec3 site = i % 2 == 0 ? Vec3{} : dice.point(5000);
    const bool is_beside = i % 5 == 0;
    const Vec3 apart = is_beside ? Vec3{dice.in(-900, 900), kWideMm + kGapMm, 0}
                                 : Vec3{dice.in(-900, 900), dice.in(-0.2, 0.2), kGapMm};
    const Triangle at_a = turnedAboutX(halfStrip(dice), turn);
    const Triangle at_b = turnedAboutX(movedBy(halfStrip(dice), apart), turn);
    const MovingHull a = standing(movedBy(at_a, site));
    const double along = dice.below(2) == 0 ? kTravelMm : -kTravelMm;
    const MovingHull b = moving(movedBy(at_b, site), {-along, 0, 0}, {along, 0, 0});
    const Separation found = separated(a, b);
    double sampled = kUnlimited;
    for (int step = 0; step <= 20; ++step) {
      sampled = std::min(sampled, distanceAt(a, b, step / 20.0));
    }
    EXPECT_LE(found.at_least_mm, sampled + kRoundingMm) << "S1";
    EXPECT_GE(found.distance_mm, kGapMm - kSeparationMm);
    EXPECT_LE(found.distance_mm, sampled + kClosedFormMm);
    EXPECT_NEAR(found.distance_mm, distanceAt(a, b, found.at), kClosedFormMm) << "S2";
    expectSound(a, b, found, kOnThinMm);
  }
}

// ---------------------------------------------------------------- play, and stopping early

TEST(ClashSeparation, FreeBoxAgainstSampledShifts) {
  Dice dice(37);
  constexpr int kSteps = 8;
  for (int i = 0; i < 150; ++i) {
    SCOPED_TRACE("pair " + std::to_string(i));
    const auto [at_a, at_b] = randomPair(dice, i);
    const MovingHull a = standing(at_a);
    const MovingHull b = i % 3 == 0 ? standing(at_b) : moving(at_b, {}, dice.point(10));
    const Vec3 free = {dice.in(0, 3), i % 2 == 0 ? 0 : dice.in(0, 3), dice.in(0, 3)};
    const Separation found = leastSeparation(a, b, {free}, kUnlimited);
    double sampled = kUnlimited;
    for (int step = 0; step <= kSteps * kSteps * kSteps * kSteps; ++step) {
      const auto share = [&](int divisor) {
        return double(step / divisor % kSteps) / (kSteps - 1);
      };
      Vec3 shift{};
      for (int axis = 0, divisor = 1; axis < 3; ++axis, divisor *= kSteps) {
        shift[axis] = free[axis] * (2 * share(divisor) - 1);
      }
      sampled = std::min(sampled, distanceAt(a, b, share(kSteps * kSteps * kSteps), shift));
    }
    const double grid = (norm(free) + movement(a, {b.points, false}) / 2) / (kSteps - 1);
    EXPECT_LE(found.at_least_mm, sampled + kRoundingMm) << "S1";
    EXPECT_LE(found.distance_mm, sampled + kClosedFormMm);
    EXPECT_GE(found.distance_mm, sampled - grid - kClosedFormMm);
  }
}

}  // namespace
}  // namespace leafstack
