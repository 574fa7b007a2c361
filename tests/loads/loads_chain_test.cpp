// Statics through the ropes, lag, and travel time: against virtual work, energy and simulation.
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>
#include <vector>

#include "generator/loads/statics/rope_chain.h"
#include "generator/loads/statics/travel_time.h"
#include "tests/support/dice.h"

namespace leafstack {
namespace {

std::vector<double> randomNeeds(Dice& dice, int count) {
  std::vector<double> needs;
  for (int i = 0; i < count; ++i) {
    // Heavy panels up and down hill: needs of either sign.
    needs.push_back(dice.in(40, 400) * 9.81 * dice.in(-0.15, 0.2));
  }
  return needs;
}

/// Rope sets whose rear ends may lie on any body behind the carrier, the carrier on any behind the
/// panel pulled: more kinds than a gate is built with.
std::vector<RopeAnchors> randomAnchors(Dice& dice, int count) {
  std::vector<RopeAnchors> ropes;
  for (int panel = 2; panel <= count; ++panel) {
    const int carrier = 1 + dice.below(panel - 1);
    ropes.push_back({carrier, panel, dice.below(carrier)});
  }
  return ropes;
}

double virtualWork(const std::vector<double>& needs, const std::vector<double>& ratios) {
  double work = 0;
  for (std::size_t i = 0; i < needs.size(); ++i) {
    work += ratios[i + 1] * needs[i];
  }
  return work;
}

double largest(const std::vector<double>& values) {
  double most = 1;
  for (double value : values) {
    most = std::max(most, std::abs(value));
  }
  return most;
}

// The recurrence as the trade writes it (common practice, no source), against what comes out of the
// anchors, and both against virtual work with the speed ratios of motion.h.
TEST(RopeChain, RecurrenceAndVirtualWorkOfThousandGates) {
  Dice dice(5);
  for (int gate = 0; gate < 1000; ++gate) {
    const int count = 1 + dice.below(4);
    const std::vector<double> f = randomNeeds(dice, count);
    const std::vector<RopeAnchors> ropes = anchorsOneBehind(count);
    const ChainForces forces = solveChain(f, ropes, 1);
    std::vector<double> t(count + 2, 0);  // T[n] = T[n + 1] = 0
    for (int k = count; k >= 1; --k) {
      t[k - 1] = f[k - 1] + 2 * t[k] - t[k + 1];
    }
    const double tolerance = 1e-9 * largest(f);
    for (int k = 1; k < count; ++k) {
      EXPECT_NEAR(forces.ropes[k - 1].front_N, t[k], tolerance);
      EXPECT_NEAR(forces.ropes[k - 1].pulley_N(), 2 * t[k], tolerance);
    }
    EXPECT_NEAR(forces.drive_N, t[0], tolerance);
    EXPECT_NEAR(forces.drive_N, virtualWork(f, speedRatios(count, ropes)), tolerance);
  }
}

TEST(RopeChain, AnyAnchoringDoesTheVirtualWorkAndItsLosses) {
  Dice dice(6);
  for (int gate = 0; gate < 1000; ++gate) {
    const int count = 2 + dice.below(3);
    const std::vector<double> f = randomNeeds(dice, count);
    const std::vector<RopeAnchors> ropes = randomAnchors(dice, count);
    const std::vector<double> ratio = speedRatios(count, ropes);
    const double tolerance = 1e-9 * largest(f) * 100;  // ratios reach 8, tensions as much
    EXPECT_NEAR(solveChain(f, ropes, 1).drive_N, virtualWork(f, ratio), tolerance);
    const double efficiency = dice.in(0.85, 0.999);
    const ChainForces lossy = solveChain(f, ropes, efficiency);
    double losses = 0;
    for (std::size_t i = 0; i < ropes.size(); ++i) {
      const RopePull& pull = lossy.ropes[i];
      EXPECT_GE(pull.loss_N(), 0);
      const double smaller = std::min(std::abs(pull.front_N), std::abs(pull.rear_N));
      const double larger = std::max(std::abs(pull.front_N), std::abs(pull.rear_N));
      EXPECT_NEAR(smaller, efficiency * larger, 1e-9 * larger);
      losses += pull.loss_N() * (ratio[ropes[i].carrier] - ratio[ropes[i].rear_end]);
    }
    EXPECT_NEAR(lossy.drive_N, virtualWork(f, ratio) + losses, tolerance);
  }
}

// C1: forces on each panel, added up again from the strands.
TEST(RopeChain, EveryPanelIsInEquilibrium) {
  Dice dice(7);
  for (int gate = 0; gate < 300; ++gate) {
    const int count = 2 + dice.below(3);
    const std::vector<double> f = randomNeeds(dice, count);
    const std::vector<RopeAnchors> ropes = randomAnchors(dice, count);
    const ChainForces forces = solveChain(f, ropes, dice.in(0.9, 1));
    std::vector<double> sum(count + 1, 0);
    sum[1] += forces.drive_N;
    for (std::size_t i = 0; i < ropes.size(); ++i) {
      const RopePull& pull = forces.ropes[i];
      EXPECT_EQ(pull.carrier, ropes[i].carrier);
      sum[ropes[i].front_end] += pull.front_N;
      sum[ropes[i].rear_end] += pull.rear_N;
      sum[ropes[i].carrier] -= pull.front_N + pull.rear_N;
    }
    for (int panel = 1; panel <= count; ++panel) {
      EXPECT_NEAR(sum[panel], f[panel - 1], 1e-7 * largest(f));
    }
    EXPECT_NEAR(sum[0], forces.ground_N, 1e-7 * largest(f));
  }
}

// Closed form: n equal panels take (n + 1) / 2 times what one panel of their mass takes.
TEST(RopeChain, EqualPanelsTakeHalfOfNPlusOne) {
  for (int count = 1; count <= 4; ++count) {
    const double need = 37.25;
    const ChainForces forces =
        solveChain(std::vector<double>(count, need), anchorsOneBehind(count), 1);
    EXPECT_NEAR(forces.drive_N / (count * need), (count + 1) / 2.0, 1e-9);
  }
}

// Textbook, Giancoli, Physics, 7th ed., ch. 6, question 11 (row T1): one movable pulley halves the
// force; driven the other way round, F2 = 2 F1 (reshator.com, problem 1223).
TEST(RopeChain, OnePulleyDoublesTheForce) {
  const ChainForces forces = solveChain({0, 100}, anchorsOneBehind(2), 1);
  EXPECT_DOUBLE_EQ(forces.drive_N, 200);
  EXPECT_DOUBLE_EQ(forces.ropes[0].front_N, 100);
  EXPECT_DOUBLE_EQ(forces.ground_N, 100);
}

TEST(RopeChain, PanelsWithoutTheirRopeAreRefused) {
  EXPECT_THROW(solveChain({1, 1, 1}, anchorsOneBehind(2), 1), std::invalid_argument);
  EXPECT_THROW(solveChain({1, 1}, {{1, 2, 0}, {1, 2, 0}}, 1), std::invalid_argument);
  EXPECT_THROW(solveChain({1, 1}, {{2, 2, 0}}, 1), std::invalid_argument);
}

// Castigliano: the front panel's lag under its load is what the ropes' energy grows by when a unit
// force is added there. Tensions from the statics above, stretches T L / EA.
TEST(FrontLag, IsTheDerivativeOfTheRopesEnergy) {
  Dice dice(8);
  for (int gate = 0; gate < 200; ++gate) {
    const int count = 2 + dice.below(3);
    const std::vector<RopeAnchors> ropes = randomAnchors(dice, count);
    std::vector<double> f(count);
    std::vector<double> compliance;  // L / EA, both strands alike
    for (double& need : f) {
      need = dice.in(10, 300);
    }
    for (std::size_t i = 0; i < ropes.size(); ++i) {
      compliance.push_back(dice.in(1e-3, 1e-2));
    }
    const auto energy = [&](double extra) {
      std::vector<double> needs = f;
      needs.back() += extra;
      double sum = 0;
      const ChainForces forces = solveChain(needs, ropes, 1);
      for (std::size_t i = 0; i < ropes.size(); ++i) {
        sum += forces.ropes[i].front_N * forces.ropes[i].front_N * compliance[i] / 2;
      }
      return sum;
    };
    std::vector<double> stretch;
    const ChainForces forces = solveChain(f, ropes, 1);
    for (std::size_t i = 0; i < ropes.size(); ++i) {
      stretch.push_back(forces.ropes[i].front_N * compliance[i]);
    }
    // The energy is quadratic: central differences are exact.
    EXPECT_NEAR(frontLag(count, ropes, stretch), (energy(1) - energy(-1)) / 2,
                1e-9 * std::max(1.0, energy(0)));
  }
}

// ---------------------------------------------------------------- travel time

/// The same profile driven in small steps: full speed unless the slow stretch comes too near.
double simulatedSeconds(const SpeedProfile& p) {
  const double slow = std::min(p.slow_speed_mm_s, p.speed_mm_s);
  const double a = p.acceleration_mm_s2;
  const double slow_from =
      p.travel_mm - std::max(p.slow_travel_mm, slow < p.speed_mm_s ? slow * slow / (2 * a) : 0);
  constexpr double kStep = 2e-5;
  double x = 0, v = 0, t = 0;
  while (x < p.travel_mm - 1e-6 && t < 1e4) {
    const double to_end = p.travel_mm - x;
    // Fastest from which it can still stop at the end, and slow down where the slow stretch begins.
    double most = std::min(p.speed_mm_s, std::sqrt(2 * a * to_end));
    if (slow < p.speed_mm_s) {
      most =
          std::min(most, x < slow_from ? std::sqrt(slow * slow + 2 * a * (slow_from - x)) : slow);
    }
    v = std::min(v + a * kStep, most);
    x += std::max(v, 1e-3) * kStep;
    t += kStep;
  }
  return t;
}

TEST(TravelTime, AgreesWithSimulation) {
  const SpeedProfile profiles[] = {
      {2800, 160, 200, 80, 100}, {1500, 200, 120, 60, 300}, {900, 160, 400, 160, 100},
      {900, 160, 400, 300, 100}, {260, 300, 150, 50, 80},   {150, 300, 150, 60, 140},
      {40, 160, 200, 80, 100},   {3000, 160, 200, 80, 0},   {10, 160, 200, 80, 0}};
  for (const SpeedProfile& profile : profiles) {
    const TravelTime time = travelTime(profile);
    EXPECT_NEAR(time.total_s, simulatedSeconds(profile), 0.01 + 0.002 * time.total_s)
        << profile.travel_mm << " mm at " << profile.speed_mm_s;
    EXPECT_NEAR(time.start_s + time.cruise_s + time.slowing_s + time.slow_s, time.total_s, 1e-12);
    EXPECT_LE(time.top_speed_mm_s, profile.speed_mm_s);
  }
}

// By hand: 160 mm/s after 0.8 s and 64 mm; from 160 to 80 in 0.4 s and 48 mm; the last 100 mm are
// 84 at 80 mm/s, 1.05 s, and the stop, 0.4 s; 2588 mm are left to cruise, 16.175 s.
TEST(TravelTime, ByHand) {
  const TravelTime time = travelTime({2800, 160, 200, 80, 100});
  EXPECT_NEAR(time.start_s, 0.8, 1e-12);
  EXPECT_NEAR(time.slowing_s, 0.4, 1e-12);
  EXPECT_NEAR(time.slow_s, 1.45, 1e-12);
  EXPECT_NEAR(time.cruise_s, 16.175, 1e-12);
}

TEST(TravelTime, NoTravelTakesNoTime) {
  EXPECT_EQ(travelTime({0, 160, 200, 80, 100}).total_s, 0);
}

}  // namespace
}  // namespace leafstack
