// Panels on wheels, floating guide blocks and the clearance under panels: against bisection of the
// contact's equation, crossings of lines, finite differences and counting off.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <stdexcept>

#include "generator/layout/travel/ground_line.h"
#include "generator/layout/travel/panel_travel.h"
#include "tests/layout/uneven/reference_ground.h"

namespace leafstack::ground_reference {
namespace {

template <typename Function>
double bisected(const Function& rising, double low, double high) {
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (rising(middle) < 0 ? low : high) = middle;
  }
  return (low + high) / 2;
}

/// Centre height by bisection of the offset equation for the contact.
double bisectedHeight(const ReferenceGround& ground, double centre_x) {
  const auto aside = [&](double x) { return kWheelOffMm * std::sin(std::atan(ground.slope(x))); };
  const double x = bisected([&](double at) { return at - aside(at) - centre_x; },
                            centre_x - kWheelOffMm, centre_x + kWheelOffMm);
  return ground.height(x) + kWheelOffMm * std::cos(std::atan(ground.slope(x)));
}

TEST(PanelTravel, WheelsStandWhereBisectionPutsThem) {
  Dice dice(31);
  for (int round = 0; round < 500; ++round) {
    const Points points = randomSurvey(dice);
    const ReferenceGround reference(points);
    PanelOnWheels panel = randomPanel(dice);
    panel.trailing_side = round % 10 == 9 ? -1 : 1;
    const PanelTravel ride(WheelPath(GroundLine::through(points), kWheelOffMm), panel);
    for (int i = 0; i < 4; ++i) {
      const double drive = i == 0 ? 0 : dice.in(0, 5000 / panel.speed_ratio);
      const double x1 = panel.leading_x_mm + panel.speed_ratio * drive;
      const double z1 = bisectedHeight(reference, x1);
      const double run = bisected(
          [&](double at) {
            return std::hypot(at, bisectedHeight(reference, x1 + panel.trailing_side * at) - z1) -
                   panel.base_mm;
          },
          panel.base_mm * 0.7, panel.base_mm);
      const double x2 = x1 + panel.trailing_side * run;
      const PanelTravel::Wheels wheels = ride.wheelsAt(drive);
      ASSERT_NEAR(wheels.leading.centre_mm[0], x1, kRoundingMm);
      ASSERT_NEAR(wheels.leading.centre_mm[1], z1, kAgreedMm);
      ASSERT_NEAR(wheels.trailing.centre_mm[0], x2, kAgreedMm);
      ASSERT_NEAR(wheels.trailing.centre_mm[1], bisectedHeight(reference, x2), kAgreedMm);
    }
  }
}

TEST(PanelTravel, IsRigidAndBeginsWhereItWasBuilt) {
  Dice dice(32);
  for (int round = 0; round < 100; ++round) {
    const WheelPath path(GroundLine::through(randomSurvey(dice)), kWheelOffMm);
    PanelOnWheels panel = randomPanel(dice);
    panel.trailing_side = round % 2 == 0 ? 1 : -1;
    const PanelTravel ride(path, panel);
    const Pose closed = ride.at(0);
    EXPECT_EQ(closed.x_mm, 0);
    EXPECT_EQ(closed.z_mm, 0);
    EXPECT_EQ(closed.cos, 1);
    EXPECT_EQ(closed.sin, 0);
    const PanelTravel::Wheels built = ride.wheelsAt(0);
    for (int i = 0; i < 20; ++i) {
      const double drive = dice.in(0, 1500);
      const PanelTravel::Wheels wheels = ride.wheelsAt(drive);
      const Place& a = wheels.leading.centre_mm;
      const Place& b = wheels.trailing.centre_mm;
      ASSERT_NEAR(std::hypot(b[0] - a[0], b[1] - a[1]), panel.base_mm, 1e-6);
      // Carried rigidly, both wheels are on the path, the leading one where its ropes put it.
      const Pose pose = ride.at(drive);
      const auto at_a = carried(pose, {built.leading.centre_mm[0], 0, built.leading.centre_mm[1]});
      const auto at_b =
          carried(pose, {built.trailing.centre_mm[0], 0, built.trailing.centre_mm[1]});
      ASSERT_NEAR(at_a[0], panel.leading_x_mm + panel.speed_ratio * drive, kRoundingMm);
      ASSERT_NEAR(at_a[2], path.centreHeightMm(at_a[0]), 1e-6);
      ASSERT_NEAR(at_b[2], path.centreHeightMm(at_b[0]), 1e-6);
      ASSERT_GT(panel.trailing_side * (at_b[0] - at_a[0]), 0);
      ASSERT_NEAR(ride.pitch_rad(drive) - ride.pitch_rad(0), std::atan2(pose.sin, pose.cos), 1e-12);
    }
  }
}

// Geometry: both wheels on one straight line.
TEST(PanelTravel, GoesStraightUpAnEvenSlope) {
  const double grade = 1.0 / 8;
  const PanelTravel ride(WheelPath(GroundLine::straight(grade), kWheelOffMm), {100, 2000, 3});
  const Pose pose = ride.at(400);
  EXPECT_FALSE(pose.turns());
  EXPECT_EQ(pose.x_mm, 1200);
  EXPECT_EQ(pose.z_mm, 150);
  EXPECT_DOUBLE_EQ(ride.pitch_rad(123), std::atan(grade));
  const TravelRates rates = ride.rates(0, 1000);
  EXPECT_EQ(rates.z.low, 0.375);
  EXPECT_EQ(rates.z.high, 0.375);
  EXPECT_EQ(rates.turn.high, 0);
  ASSERT_TRUE(ride.velocity());
  EXPECT_EQ((*ride.velocity())[1], 0.375);
  const Place& a = ride.wheelsAt(400).leading.centre_mm;
  EXPECT_NEAR((a[1] - grade * a[0]) / std::hypot(1, grade), kWheelOffMm, kRoundingMm);
}

// ----------------------------------------------------------------------- the rates

/// Pivot and turn at one position.
std::array<double, 3> coordinatesAt(const BodyTravel& body, double drive) {
  const Pose pose = body.at(drive);
  const auto pivot = carried(pose, {body.pivot_mm()[0], 0, body.pivot_mm()[1]});
  return {pivot[0], pivot[2], std::atan2(pose.sin, pose.cos)};
}

std::array<Range, 3> ratesOver(const BodyTravel& body, double from, double to) {
  const TravelRates rates = body.rates(from, to);
  return {rates.x, rates.z, rates.turn};
}

const std::array<double, 3> kRounding = {kRoundingMm, kRoundingMm, kRoundingRad};

void expectRatesHold(const BodyTravel& body, double travel, Dice& dice) {
  const double length = travel * std::pow(10, dice.in(-5, 0));
  const double from = dice.in(0, travel - length);
  const auto rates = ratesOver(body, from, from + length);
  for (int i = 0; i < 10; ++i) {
    const double a = from + length * dice.in(0, 1);
    const double end = from + length;
    const double b = i == 0 ? end : std::min(end, a + length * dice.in(0, 0.1));
    const auto before = coordinatesAt(body, a);
    const auto after = coordinatesAt(body, b);
    for (std::size_t c = 0; c < 3; ++c) {
      ASSERT_GE(after[c] - before[c], rates[c].low * (b - a) - kRounding[c]) << c << ' ' << length;
      ASSERT_LE(after[c] - before[c], rates[c].high * (b - a) + kRounding[c]) << c << ' ' << length;
    }
  }
}

/// Short stretches leave little but the derivative.
void expectRatesGrowTight(const BodyTravel& body, double drive) {
  const auto wide = ratesOver(body, drive - 0.5, drive + 0.5);
  const auto narrow = ratesOver(body, drive - 0.005, drive + 0.005);
  const auto before = coordinatesAt(body, drive - 0.05);
  const auto after = coordinatesAt(body, drive + 0.05);
  for (std::size_t c = 0; c < 3; ++c) {
    // Where the room for rounding is not most of it.
    const double width = narrow[c].high - narrow[c].low;
    ASSERT_LE(width, std::max(0.02 * (wide[c].high - wide[c].low), kRounding[c])) << c;
    const double derivative = (after[c] - before[c]) / 0.1;
    const double room = kRounding[c] / 0.1 + 10 * width + kRounding[c];
    ASSERT_NEAR((narrow[c].low + narrow[c].high) / 2, derivative, room) << c;
  }
}

TEST(PanelTravel, RatesHoldOverStretchesOfAllLengths) {
  Dice dice(41);
  for (int round = 0; round < 300; ++round) {
    PanelOnWheels panel = randomPanel(dice);
    panel.trailing_side = round % 3 == 0 ? -1 : 1;
    const PanelTravel ride(WheelPath(GroundLine::through(randomSurvey(dice)), kWheelOffMm), panel);
    for (int i = 0; i < 20; ++i) {
      expectRatesHold(ride, 5000 / panel.speed_ratio, dice);
    }
    expectRatesGrowTight(ride, dice.in(10, 4000 / panel.speed_ratio));
    if (HasFatalFailure()) {
      return;
    }
  }
}

// What it is ahead of its share of the travel it goes beyond it, and its rates hold with that.
TEST(PanelTravel, AheadIsBeyondTheSpeedRatio) {
  Dice dice(42);
  for (int round = 0; round < 100; ++round) {
    PanelOnWheels panel = randomPanel(dice);
    const GroundLine line = GroundLine::through(randomSurvey(dice));
    const PanelTravel even(WheelPath(line, kWheelOffMm), panel);
    const double travel = 5000 / panel.speed_ratio;
    Points ahead{{0, 0}};
    while (ahead.back()[0] < travel) {
      ahead.push_back({ahead.back()[0] + dice.in(20, 300), dice.in(-3, 3)});
    }
    panel.ahead = GroundLine::through(ahead);
    const PanelTravel ride(WheelPath(line, kWheelOffMm), panel);
    for (const auto& [drive, mm] : ahead) {
      ASSERT_NEAR(coordinatesAt(ride, drive)[0], coordinatesAt(even, drive)[0] + mm, kRoundingMm);
    }
    for (int i = 0; i < 20; ++i) {
      expectRatesHold(ride, travel, dice);
    }
    if (HasFatalFailure()) {
      return;
    }
  }
}

// -------------------------------------------------------------------- guide blocks

/// Panels k and k - 1 (the ground, for panel 1) on one surveyed line and a block between them.
struct RandomGuide {
  std::shared_ptr<const BodyTravel> rail, channel;
  FloatingBlock block;
};

RandomGuide randomGuide(Dice& dice) {
  const WheelPath path(GroundLine::through(randomSurvey(dice)), kWheelOffMm);
  PanelOnWheels panel = randomPanel(dice);
  RandomGuide guide;
  guide.rail = std::make_shared<PanelTravel>(path, panel);
  guide.block = {{panel.leading_x_mm + dice.in(500, 3000), dice.in(1000, 2000)},
                 {1, dice.in(-0.2, 0.2)},
                 {dice.in(-0.2, 0.2), 1}};
  panel.speed_ratio -= 1;
  panel.leading_x_mm += dice.in(500, 3000);
  if (panel.speed_ratio == 0) {
    guide.channel = std::make_shared<StraightTravel>(0, 0);
  } else {
    guide.channel = std::make_shared<PanelTravel>(path, panel);
  }
  return guide;
}

Place carriedPoint(const Pose& pose, const Place& point) {
  const auto there = carried(pose, {point[0], 0, point[1]});
  return {there[0], there[2]};
}

Place plus(const Place& a, const Place& b) {
  return {a[0] + b[0], a[1] + b[1]};
}

/// Where the lines a-b and c-d cross, by determinants.
Place crossing(const std::array<Place, 2>& first, const std::array<Place, 2>& second) {
  const auto cross = [](const Place& a, const Place& b) { return a[0] * b[1] - a[1] * b[0]; };
  const Place u = {first[0][0] - first[1][0], first[0][1] - first[1][1]};
  const Place v = {second[0][0] - second[1][0], second[0][1] - second[1][1]};
  const double m = cross(first[0], first[1]);
  const double n = cross(second[0], second[1]);
  const double divisor = cross(u, v);
  return {(m * v[0] - u[0] * n) / divisor, (m * v[1] - u[1] * n) / divisor};
}

TEST(FloatingBlockTravel, BlockIsWhereRailAndChannelCross) {
  Dice dice(51);
  for (int round = 0; round < 200; ++round) {
    const RandomGuide guide = randomGuide(dice);
    const FloatingBlockTravel ride(guide.rail, guide.channel, guide.block);
    EXPECT_EQ(ride.at(0).x_mm, 0);
    EXPECT_EQ(ride.at(0).z_mm, 0);
    EXPECT_EQ(ride.at(0).sin, 0);
    EXPECT_FALSE(ride.velocity());
    const double drive = dice.in(0, 1200);
    const Pose rail = guide.rail->at(drive);
    const Pose channel = guide.channel->at(drive);
    const Place& from = guide.block.at_mm;
    const Place there = crossing(
        {carriedPoint(rail, from), carriedPoint(rail, plus(from, guide.block.rail))},
        {carriedPoint(channel, from), carriedPoint(channel, plus(from, guide.block.channel))});
    const Place block = carriedPoint(ride.at(drive), from);
    ASSERT_NEAR(block[0], there[0], 1e-5);  // the determinants' rounding: metres squared
    ASSERT_NEAR(block[1], there[1], 1e-5);
    EXPECT_EQ(ride.at(drive).sin, rail.sin);
    const Place held = carriedPoint(channel, from);
    const double floated = std::hypot(there[0] - held[0], there[1] - held[1]);
    ASSERT_NEAR(ride.floatMm(drive), std::copysign(floated, there[1] - held[1]), 1e-5);
  }
}

TEST(FloatingBlockTravel, RatesHoldOverStretchesOfAllLengths) {
  Dice dice(52);
  for (int round = 0; round < 300; ++round) {
    const RandomGuide guide = randomGuide(dice);
    const FloatingBlockTravel ride(guide.rail, guide.channel, guide.block);
    for (int i = 0; i < 20; ++i) {
      expectRatesHold(ride, 1200, dice);
    }
    expectRatesGrowTight(ride, dice.in(10, 1200));
    if (HasFatalFailure()) {
      return;
    }
  }
}

TEST(FloatingBlockTravel, FloatRangeIsTheOneCountedOff) {
  Dice dice(53);
  for (int round = 0; round < 40; ++round) {
    const RandomGuide guide = randomGuide(dice);
    const FloatingBlockTravel ride(guide.rail, guide.channel, guide.block);
    const Range range = ride.floatRange(1200);
    Range counted;
    for (double drive = 0; drive <= 1200; drive += 0.25) {
      const double value = ride.floatMm(drive);
      counted = {std::min(counted.low, value), std::max(counted.high, value)};
    }
    ASSERT_NEAR(range.low, counted.low, kAgreedMm);
    ASSERT_NEAR(range.high, counted.high, kAgreedMm);
  }
}

// Common practice, no source: on an even slope a level rail lifts its block by the grade, whatever
// the panels' speeds, since neighbours differ by one; a raked rail does not.
TEST(FloatingBlockTravel, LevelRailFloatsByTheGradeRakedRailNotAtAll) {
  for (double grade : {-0.1, 0.05, 0.125}) {
    const WheelPath path(GroundLine::straight(grade), kWheelOffMm);
    for (int k = 1; k <= 4; ++k) {
      const auto rail = std::make_shared<PanelTravel>(path, PanelOnWheels{0, 2000, 1.0 * k});
      const auto channel = std::make_shared<PanelTravel>(path, PanelOnWheels{900, 2000, k - 1.0});
      const FloatingBlockTravel level(rail, channel, {{500, 1500}, {1, 0}, {0, -3}});
      EXPECT_NEAR(level.floatMm(1000) / 1000, grade, 1e-9);
      const Range range = level.floatRange(2000);
      EXPECT_NEAR(range.low, std::min(0.0, 2000 * grade), 1e-6);
      EXPECT_NEAR(range.high, std::max(0.0, 2000 * grade), 1e-6);
      ASSERT_TRUE(level.velocity());
      EXPECT_NEAR((*level.velocity())[0], k - 1, 1e-12);
      EXPECT_NEAR((*level.velocity())[1], k * grade, 1e-12);
      const FloatingBlockTravel raked(rail, channel, {{500, 1500}, {1, grade}, {-grade, 1}});
      EXPECT_NEAR(raked.floatMm(1000), 0, 1e-9);
      EXPECT_NEAR((*raked.velocity())[1], (k - 1) * grade, 1e-12);
    }
  }
  const auto still = std::make_shared<StraightTravel>(0, 0);
  EXPECT_THROW(FloatingBlockTravel(still, still, {{0, 0}, {1, 1}, {2, 2}}), std::invalid_argument);
}

// ----------------------------------------------------------------- ground clearance

// The bar of table A14-1 (a), pushed up in its middle by 30: a level body passes 70 above its top.
TEST(GroundClearance, LevelBodyOverABump) {
  const GroundLine bump = GroundLine::through({{3000, 0}, {3500, 30}, {4000, 0}});
  const GroundClearance least =
      leastGroundClearance(StraightTravel(2, 0), bump, {0, 100, 1000, 100}, 2000);
  EXPECT_NEAR(least.clearance_mm, 70, kRoundingMm);
  EXPECT_NEAR(least.x_mm, 3500, 1e-3);
  EXPECT_GE(least.drive_mm, 1250 - 1e-3);  // front end over the top
  EXPECT_LE(least.drive_mm, 1750 + 1e-3);  // rear end over it
  // A body that ends before it meets the bump with its front edge, at the end of its travel.
  const GroundClearance edge =
      leastGroundClearance(StraightTravel(2, 0), bump, {0, 100, 1000, 100}, 1100);
  EXPECT_EQ(edge.drive_mm, 1100);
  EXPECT_NEAR(edge.x_mm, 3200, kRoundingMm);
  EXPECT_NEAR(edge.clearance_mm, 100 - 30 * 200.0 * (3e6 - 4 * 200.0 * 200) / 1e9, kRoundingMm);
}

TEST(GroundClearance, IsTheLeastCountedOff) {
  Dice dice(61);
  for (int round = 0; round < 12; ++round) {
    const Points points = randomSurvey(dice);
    const GroundLine line = GroundLine::through(points);
    const ReferenceGround reference(points);
    const PanelOnWheels panel = randomPanel(dice);
    const PanelTravel ride(WheelPath(line, kWheelOffMm), panel);
    const PanelTravel::Wheels built = ride.wheelsAt(0);
    const double x0 = built.leading.centre_mm[0] - 200;
    const double x1 = built.trailing.centre_mm[0] + 300;
    const double slope = std::tan(ride.pitch_rad(0));
    const double z0 = built.leading.centre_mm[1] - 200 * slope - 20;
    const UnderSegment under{x0, z0, x1, z0 + slope * (x1 - x0)};
    const double travel = 3000 / panel.speed_ratio;
    const GroundClearance least = leastGroundClearance(ride, line, under, travel);
    double counted = 1e9;
    for (double drive = 0; drive <= travel; drive += travel / 500) {
      const Pose pose = ride.at(drive);
      for (double share = 0; share <= 1; share += 1.0 / 1024) {
        const Place at =
            carriedPoint(pose, {x0 + share * (x1 - x0), z0 + slope * share * (x1 - x0)});
        counted = std::min(counted, at[1] - reference.height(at[0]));
      }
    }
    // Never above what was counted; below it by no more than a step of either count can hide: 6 mm
    // of X at bends of at most 0.003 per mm.
    ASSERT_LE(least.clearance_mm, counted + 1e-6);
    ASSERT_GE(least.clearance_mm, counted - 0.02);
    // Nor is there less close by.
    for (double aside = -4; aside <= 4; aside += 0.01) {
      const double drive = std::clamp(least.drive_mm + aside, 0.0, travel);
      ASSERT_GE(groundClearanceAt(ride, line, under, drive).clearance_mm,
                least.clearance_mm - 1e-6);
    }
    // It is the clearance of the place that is told.
    const Place a = carriedPoint(ride.at(least.drive_mm), {under.x0_mm, under.z0_mm});
    const Place b = carriedPoint(ride.at(least.drive_mm), {under.x1_mm, under.z1_mm});
    const double z = a[1] + (b[1] - a[1]) / (b[0] - a[0]) * (least.x_mm - a[0]);
    ASSERT_NEAR(least.clearance_mm, z - reference.height(least.x_mm), kRoundingMm);
    ASSERT_GE(least.x_mm, a[0] - kRoundingMm);
    ASSERT_LE(least.x_mm, b[0] + kRoundingMm);
  }
}

}  // namespace
}  // namespace leafstack::ground_reference
