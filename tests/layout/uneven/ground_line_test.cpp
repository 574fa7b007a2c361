// Lines of the ground and wheels on them: against bars bent by loads (published formulas), a spline
// solved from all its conditions at once, a wheel lowered until it rests, and counting off.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <vector>

#include "generator/layout/travel/ground_line.h"
#include "generator/layout/travel/panel_travel.h"
#include "tests/layout/uneven/reference_ground.h"

namespace leafstack::ground_reference {
namespace {

// R. L. Mott, Machine Elements in Mechanical Design, 4th ed., table A14-1 (b): a bar on two
// supports, pushed to a height at `a` from the left, b from the right. In terms of that height h:
// y = h x (L^2 - b^2 - x^2) / (2 a^2 b) up to the load, its top at sqrt(a (L + b) / 3) if a > b.
TEST(GroundLine, IsABarBentOverThePoints) {
  const double a = 2100;
  const double b = 900;
  const double span = a + b;
  const double pushed = 40;
  const GroundLine line = GroundLine::through({{0, 0}, {a, pushed}, {span, 0}});
  for (double x = 0; x <= a; x += 100) {
    const double bar = pushed * x * (span * span - b * b - x * x) / (2 * a * a * b);
    EXPECT_NEAR(line.heightMm(x), bar, kRoundingMm) << x;
  }
  for (double x = 0; x <= b; x += 100) {  // the same table from the other end
    const double bar = pushed * x * (span * span - a * a - x * x) / (2 * b * b * a);
    EXPECT_NEAR(line.heightMm(span - x), bar, kRoundingMm) << x;
  }
  const double top = (span + b) * std::sqrt(3 * a * (span + b)) / (9 * a * b) * pushed;
  const Range heights = line.heightRange(0, span);
  EXPECT_NEAR(heights.high, top, kRoundingMm);
  EXPECT_NEAR(heights.low, 0, kRoundingMm);
  const std::vector<double> crest = line.whereSlopeIs(0, 0, span);
  ASSERT_EQ(crest.size(), 1U);
  EXPECT_NEAR(crest[0], std::sqrt(a * (span + b) / 3), kRoundingMm);
  // Steepest at the supports, straight on beyond them.
  const double rising = pushed * (span * span - b * b) / (2 * a * a * b);
  const double falling = -pushed * (span * span - a * a) / (2 * b * b * a);
  const Range slopes = line.slopeRange(span + 500, -500);
  EXPECT_NEAR(slopes.high, rising, 1e-14);
  EXPECT_NEAR(slopes.low, falling, 1e-14);
  EXPECT_NEAR(line.heightMm(-700), -700 * rising, kRoundingMm);
  EXPECT_NEAR(line.heightMm(span + 700), 700 * falling, kRoundingMm);
  EXPECT_EQ(line.bend(-1), 0);
}

TEST(GroundLine, EvenSurveyIsExactlyEven) {
  const GroundLine two = GroundLine::through({{-300, 7}, {700, 32}});
  EXPECT_TRUE(two.isStraight());
  EXPECT_EQ(two.slope(5000), 0.025);
  EXPECT_NEAR(two.heightMm(4700), 132, kRoundingMm);
  Points points;
  for (double x : {-1234.5, -200.0, 33.3, 1700.0, 4321.0}) {
    points.push_back({x, 12.5 - x / 16});
  }
  const GroundLine even = GroundLine::through(points);
  EXPECT_TRUE(even.isStraight());
  EXPECT_DOUBLE_EQ(even.slope(0), -1.0 / 16);
  EXPECT_DOUBLE_EQ(even.heightMm(0), 12.5);
  EXPECT_EQ(even.slopeRange(-1e4, 1e4).low, even.slopeRange(-1e4, 1e4).high);
  const GroundLine given = GroundLine::straight(0.1);
  EXPECT_EQ(given.heightMm(250), 25);
  EXPECT_EQ(given.heightRange(10, -10).low, -1);
}

TEST(GroundLine, RefusesWhatIsNoLine) {
  EXPECT_THROW(GroundLine::through({{0, 0}}), std::invalid_argument);
  EXPECT_THROW(GroundLine::through({{0, 0}, {0, 1}}), std::invalid_argument);
  EXPECT_THROW(GroundLine::through({{0, 0}, {2, 1}, {1, 1}}), std::invalid_argument);
  EXPECT_THROW(GroundLine::through({{0, 0}, {1, std::nan("")}}), std::invalid_argument);
}

TEST(GroundLine, IsTheSplineOfAllItsConditionsAtOnce) {
  Dice dice(11);
  for (int round = 0; round < 200; ++round) {
    const Points points = randomSurvey(dice);
    const GroundLine line = GroundLine::through(points);
    const ReferenceGround reference(points);
    for (int i = 0; i < 50; ++i) {
      const double x = dice.in(points.front()[0] - 800, points.back()[0] + 800);
      ASSERT_NEAR(line.heightMm(x), reference.height(x), kRoundingMm);
      ASSERT_NEAR(line.slope(x), reference.slope(x), 1e-11);
    }
  }
}

TEST(GroundLine, RangesAreTheLeastAndGreatestCountedOff) {
  Dice dice(12);
  for (int round = 0; round < 200; ++round) {
    const Points points = randomSurvey(dice);
    const GroundLine line = GroundLine::through(points);
    const ReferenceGround reference(points);
    const double from = dice.in(points.front()[0] - 300, points.back()[0]);
    const double to = from + std::pow(10, dice.in(-1, 3.8));
    const Range slopes = line.slopeRange(from, to);
    const Range heights = line.heightRange(from, to);
    Range slope{1, -1};
    Range height{1e9, -1e9};
    constexpr int kSteps = 4000;
    for (int i = 0; i <= kSteps; ++i) {
      const double x = from + (to - from) * i / kSteps;
      slope = {std::min(slope.low, reference.slope(x)), std::max(slope.high, reference.slope(x))};
      height = {std::min(height.low, reference.height(x)),
                std::max(height.high, reference.height(x))};
    }
    ASSERT_LE(slopes.low, slope.low + 1e-11);
    ASSERT_GE(slopes.high, slope.high - 1e-11);
    ASSERT_LE(heights.low, height.low + kRoundingMm);
    ASSERT_GE(heights.high, height.high - kRoundingMm);
    // Missing an extreme by half a step of at most 1.6 mm where the bend turns, or the line itself:
    // bends are below 0.01 per mm, their changes below 1e-4 per mm^2.
    ASSERT_NEAR(slopes.low, slope.low, 1e-4);
    ASSERT_NEAR(slopes.high, slope.high, 1e-4);
    ASSERT_NEAR(heights.low, height.low, 0.005);
    ASSERT_NEAR(heights.high, height.high, 0.005);
  }
}

// ----------------------------------------------------------------------- the wheel

/// A wheel lowered at a fixed X until it rests on the ground: no contact equation, no slopes.
double restingHeight(const ReferenceGround& ground, double centre_x, double radius) {
  const auto lifted = [&](double x) {
    const double off = x - centre_x;
    return ground.height(x) + std::sqrt(radius * radius - off * off);
  };
  double best = centre_x;
  double step = radius * 0.99 / 50;
  for (int i = -50; i <= 50; ++i) {
    const double x = centre_x + i * step;
    best = lifted(x) > lifted(best) ? x : best;
  }
  for (; step > 1e-7; step /= 2) {
    for (double x : {best - step, best + step}) {
      best = std::abs(x - centre_x) < radius && lifted(x) > lifted(best) ? x : best;
    }
  }
  return lifted(best);
}

TEST(WheelPath, IsWhereALoweredWheelRests) {
  Dice dice(21);
  for (int round = 0; round < 100; ++round) {
    const Points points = randomSurvey(dice);
    const WheelPath path(GroundLine::through(points), kWheelOffMm);
    ASSERT_FALSE(path.tooTightAt());
    const ReferenceGround reference(points);
    for (int i = 0; i < 20; ++i) {
      const double x = dice.in(points.front()[0] - 500, points.back()[0] + 500);
      ASSERT_NEAR(path.centreHeightMm(x), restingHeight(reference, x, kWheelOffMm), 1e-7);
      const double step = 1e-2;
      const double slope =
          (path.centreHeightMm(x + step) - path.centreHeightMm(x - step)) / 2 / step;
      ASSERT_NEAR(path.slope(x), slope, 1e-6);
      const Range range = path.slopeRange(x, x + 100);
      const double inside = path.slope(x + dice.in(0, 100));
      ASSERT_LE(range.low, inside + 1e-13);
      ASSERT_GE(range.high, inside - 1e-13);
    }
  }
}

// The bar of table A14-1 (a), loaded in the middle: bend there 12 h / L^2, and level.
TEST(WheelPath, FindsADipRounderThanTheWheel) {
  const double span = 2000;
  const double depth = 300;
  const GroundLine dip = GroundLine::through({{0, 0}, {span / 2, -depth}, {span, 0}});
  const double round_mm = span * span / (12 * depth);
  EXPECT_FALSE(WheelPath(dip, round_mm * 0.9999).tooTightAt());
  const auto found = WheelPath(dip, round_mm * 1.0001).tooTightAt();
  ASSERT_TRUE(found);
  // Bends fall off evenly to nothing at the supports.
  EXPECT_NEAR(*found, span / 2, span / 2 * 2e-4);
  const GroundLine hump = GroundLine::through({{0, 0}, {span / 2, depth}, {span, 0}});
  EXPECT_FALSE(WheelPath(hump, round_mm * 10).tooTightAt());
  EXPECT_FALSE(WheelPath(dip, 0).tooTightAt());
  EXPECT_THROW(PanelTravel(WheelPath(dip, round_mm * 1.0001), {0, 900, 1}), std::invalid_argument);
  EXPECT_THROW(PanelTravel(WheelPath(hump, 1), {0, 0, 1}), std::invalid_argument);
  EXPECT_THROW(PanelTravel(WheelPath(GroundLine::straight(-1), 1), {0, 900, 1}),
               std::invalid_argument);
}

}  // namespace
}  // namespace leafstack::ground_reference
