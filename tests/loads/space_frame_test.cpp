// Frames in space against closed forms and against figures that other programs gave.
#include "generator/loads/frame/space_frame.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <stdexcept>

namespace leafstack::frame {
namespace {

constexpr double kElastic = 210000;
constexpr Metal kSteel{kElastic, kElastic / 2.6, 7850};
constexpr double kArea = 684, kInertia = 371412;
constexpr Vec3 kUpZ{0, 0, 1}, kUpX{1, 0, 0};
constexpr std::array<bool, 6> kAll{true, true, true, true, true, true};

Section square(double torsion) {
  return {
      .area_mm2 = kArea, .about_y_mm4 = kInertia, .about_z_mm4 = kInertia, .torsion_mm4 = torsion};
}

Loads pushed(int node, const Six& force) {
  Loads loads;
  loads.on_nodes.emplace_back(node, force);
  return loads;
}

/// (0,0,0) to (1000,0,0) to (1000,500,0), its root held.
Frame bentArm(double torsion) {
  Frame frame;
  frame.nodes = {{{0, 0, 0}, kAll, 0}, {{1000, 0, 0}, {}, 0}, {{1000, 500, 0}, {}, 0}};
  for (int i = 0; i < 2; ++i) {
    frame.members.push_back({i, i + 1, square(torsion), kSteel, kUpZ, false});
  }
  return frame;
}

// Z88 (Debian's, a general finite element program) and a solver written apart gave these digits.
TEST(SpaceFrame, BentArmTwistsAndBendsAsOtherProgramsSay) {
  const Frame frame = bentArm(555579);
  const Response r = Solver(frame).solve(pushed(2, {0, 0, -1000, 0, 0, 0}));
  EXPECT_NEAR(r.moved[2][2], -10.379100, 5e-7);
  EXPECT_NEAR(r.moved[1][2], -4.2736949, 5e-8);
  EXPECT_NEAR(r.moved[1][3], -0.011142387, 5e-10);
  const Inner root = r.inside(frame, 0, 0);
  EXPECT_NEAR(std::abs(root.twist_Nmm), 5e5, 1e-3);
  EXPECT_NEAR(std::abs(root.about_y_Nmm), 1e6, 1e-3);
  EXPECT_NEAR(r.held[0][2], 1000, 1e-6);
}

// CalculiX 2.20, U1 elements (J = I1 + I2), and a solver written apart.
TEST(SpaceFrame, BentArmWithTwiceTheTorsion) {
  const Response r = Solver(bentArm(2 * kInertia)).solve(pushed(2, {0, 0, -1000, 0, 0, 0}));
  EXPECT_NEAR(r.moved[2][2], -8.974759, 5e-7);
}

// A published frame in space: example B, load case 1, of the general frame analysis program
// hpgavin/frame3dd (its exB.out of 8 December 2025). A pyramid of four legs, 36 mm2 and 20 mm2 in
// shear, J 1000, I 492 mm4, under its own weight and a push at the tip. Theirs has geometric
// stiffness, of next to no effect where legs are pulled and pressed; printed to a thousandth of a
// N.
TEST(SpaceFrame, PublishedPyramid) {
  Frame frame;
  frame.nodes = {{{0, 0, 1000}, {}, 0},
                 {{-1200, -900, 0}, kAll, 0},
                 {{1200, -900, 0}, kAll, 0},
                 {{1200, 900, 0}, kAll, 0},
                 {{-1200, 900, 0}, kAll, 0}};
  Section leg{36, 492, 492, 1000, 20, 20};
  Loads loads = pushed(0, {100, -200, -100, 0, 0, 0});
  for (int i = 1; i <= 4; ++i) {
    frame.members.push_back({i, 0, leg, {200000, 79300, 7850}, kUpZ, false});
    loads.along_members.emplace_back(i - 1, Vec3{0, 0, -36 * 7.85e-9 * 9806.33});
  }
  const Response r = Solver(frame).solve(loads);
  const double moved[] = {0.014127, -0.050229, -0.022374};
  const double held[4][3] = {{74.653, 55.994, 64.715},
                             {-124.653, 93.490, 106.381},
                             {8.667, 6.509, -4.724},
                             {-58.667, 44.008, -46.388}};
  for (int axis = 0; axis < 3; ++axis) {
    EXPECT_NEAR(r.moved[0][axis], moved[axis], 2e-4 * 0.05) << axis;
    for (int foot = 0; foot < 4; ++foot) {
      EXPECT_NEAR(r.held[foot + 1][axis], held[foot][axis], 0.02) << foot << " " << axis;
    }
  }
  // Pulls at the feet: legs to nodes 2 and 3 are pressed, the others pulled.
  const double pulls[] = {-113.543, -188.657, 11.639, 86.753};
  for (int foot = 0; foot < 4; ++foot) {
    EXPECT_NEAR(r.inside(frame, foot, 0).pull_N, pulls[foot], 0.02) << foot;
  }
}

/// A ladder 3000 x 1200 in the plane of X and Z with `bays`; three corners held across, the fourth
/// pushed across with 1000 N. What it does in its own plane is held at one corner.
double ladderCorner(int bays, double torsion) {
  Frame frame;
  for (int i = 0; i <= bays; ++i) {
    for (double z : {0.0, 1200.0}) {
      frame.nodes.push_back({{3000.0 * i / bays, 0, z}, {}, 0});
    }
  }
  for (int i = 0; i <= bays; ++i) {
    frame.members.push_back({2 * i, 2 * i + 1, square(torsion), kSteel, kUpX, false});
    if (i > 0) {
      for (int k : {0, 1}) {
        frame.members.push_back({2 * i - 2 + k, 2 * i + k, square(torsion), kSteel, kUpZ, false});
      }
    }
  }
  frame.nodes[0].held = {true, true, true, false, false, false};
  frame.nodes[1].held[1] = frame.nodes[2 * bays].held[1] = true;
  frame.nodes[2 * bays].held[2] = true;
  const int corner = 2 * bays + 1;
  return Solver(frame).solve(pushed(corner, {0, 1000, 0, 0, 0, 0})).moved[corner][1];
}

TEST(SpaceFrame, LadderOfOneBayByItsClosedForm) {
  const double a = 3000, h = 1200, j = 2 * kInertia;
  const double ei = kElastic * kInertia, gj = kSteel.shear_N_mm2 * j;
  const double k1 = a * a * a / (12 * ei) + a * a * h / (4 * gj);
  const double k2 = h * h * h / (12 * ei) + h * h * a / (4 * gj);
  const double expected = 2 * 1000 * k1 * k2 / (k1 + k2);
  EXPECT_NEAR(expected, 31.28597, 5e-6);
  EXPECT_NEAR(ladderCorner(1, j), expected, 1e-6);
}

// CalculiX 2.20 (J = 2 I) and Z88 (J = 555579).
TEST(SpaceFrame, LadderOfFourBaysAsOtherProgramsSay) {
  EXPECT_NEAR(ladderCorner(4, 2 * kInertia), 19.99612, 5e-6);
  EXPECT_NEAR(ladderCorner(4, 555579), 26.111915, 5e-7);
}

// Kleinlogel's formula of the fixed portal, as handbooks of rigid frames give it; axially rigid.
TEST(SpaceFrame, FixedPortalByTheHandbook) {
  Section stiff = square(1e6);
  stiff.area_mm2 = 1e9;
  Frame frame;
  frame.nodes = {{{0, 0, 0}, kAll, 0},
                 {{0, 0, 3000}, {}, 0},
                 {{4000, 0, 3000}, {}, 0},
                 {{4000, 0, 0}, kAll, 0}};
  frame.members = {{0, 1, stiff, kSteel, kUpX, false},
                   {1, 2, stiff, kSteel, kUpZ, false},
                   {3, 2, stiff, kSteel, kUpX, false}};
  const Response r = Solver(frame).solve(pushed(1, {1000, 0, 0, 0, 0, 0}));
  const double k = 3000.0 / 4000, h = 3000, p = 1000;
  const double sway = p * h * h * h / (12 * kElastic * kInertia) * (3 * k + 2) / (6 * k + 1);
  EXPECT_NEAR(sway, 22.2912, 5e-5);
  EXPECT_NEAR(r.moved[1][0], sway, 1e-3);
  EXPECT_NEAR(std::abs(r.held[0][4]), 886364, 5);
  EXPECT_NEAR(
      std::abs(r.inside(frame, 0, 1).about_y_Nmm) + std::abs(r.inside(frame, 0, 1).about_z_Nmm),
      613636, 5);
  EXPECT_NEAR(std::abs(r.held[0][2]), 306.818, 5e-3);
}

TEST(SpaceFrame, EvenLoadOnACantileverAndInsideIt) {
  Frame frame;
  frame.nodes = {{{0, 0, 0}, kAll, 0}, {{2000, 0, 0}, {}, 0}};
  frame.members = {{0, 1, square(1e6), kSteel, kUpZ, false}};
  Loads loads;
  loads.along_members.emplace_back(0, Vec3{0, 0.5, -2});
  const Response r = Solver(frame).solve(loads);
  const double l = 2000, ei = kElastic * kInertia;
  EXPECT_NEAR(r.moved[1][2], -2 * std::pow(l, 4) / (8 * ei), 1e-9);
  EXPECT_NEAR(r.moved[1][1], 0.5 * std::pow(l, 4) / (8 * ei), 1e-9);
  for (double share : {0.0, 0.25, 0.5, 1.0}) {
    const double rest = (1 - share) * l;
    EXPECT_NEAR(std::abs(r.inside(frame, 0, share).about_y_Nmm), rest * rest, 1e-3);
    EXPECT_NEAR(std::abs(r.inside(frame, 0, share).about_z_Nmm), rest * rest / 4, 1e-3);
    EXPECT_NEAR(std::abs(r.inside(frame, 0, share).shear_z_N), 2 * rest, 1e-6);
  }
}

// Shear deformation of a short cantilever: P L^3 / 3 E I + P L / G A_s.
TEST(SpaceFrame, ShearAddsItsShare) {
  Section section = square(1e6);
  section.shear_z_mm2 = 300;
  Frame frame;
  frame.nodes = {{{0, 0, 0}, kAll, 0}, {{400, 0, 0}, {}, 0}};
  frame.members = {{0, 1, section, kSteel, kUpZ, false}};
  const Response r = Solver(frame).solve(pushed(1, {0, 0, -1000, 0, 0, 0}));
  const double expected = 1000 * std::pow(400, 3) / (3 * kElastic * kInertia) +
                          1000 * 400.0 / (kSteel.shear_N_mm2 * 300);
  EXPECT_NEAR(r.moved[1][2], -expected, 1e-9);
}

// Exact frequencies of a thin cantilever: roots 1.875104, 4.694091, 7.854757 of cos x cosh x = -1.
TEST(SpaceFrame, FrequenciesOfACantilever) {
  Frame frame;
  constexpr int kPieces = 24;
  for (int i = 0; i <= kPieces; ++i) {
    frame.nodes.push_back({{2000.0 * i / kPieces, 0, 0}, {}, 0});
    frame.nodes.back().held = {true, false, true, true, true, false};  // in one plane only
    if (i > 0) {
      frame.members.push_back({i - 1, i, square(1e6), kSteel, kUpZ, false});
    }
  }
  frame.nodes.front().held = kAll;
  const std::vector<double> found = Solver(frame).frequencies(3);
  const double base = std::sqrt(kElastic * 1e3 * kInertia / (7850e-9 * kArea)) /
                      (2 * std::numbers::pi * 2000 * 2000);
  const std::array<double, 3> roots = {1.8751040687, 4.6940911330, 7.8547574382};
  const std::array<double, 3> printed = {16.86109, 105.6666, 295.870};
  ASSERT_EQ(found.size(), 3u);
  for (int i = 0; i < 3; ++i) {
    EXPECT_NEAR(found[i], roots[i] * roots[i] * base, 2e-5 * found[i]) << i;
    EXPECT_NEAR(found[i], printed[i], 5e-4 * printed[i]) << i;
  }
}

TEST(SpaceFrame, WorkOfLoadsIsEnergyOfMembersAndEveryNodeIsAtRest) {
  Frame frame = bentArm(555579);
  frame.nodes.push_back({{1000, 500, -300}, {true, true, true, false, false, false}, 0});
  frame.members.push_back({2, 3, square(1), kSteel, kUpX, true});
  Loads loads = pushed(2, {30, -50, -1000, 0, 0, 0});
  loads.along_members.emplace_back(0, Vec3{0.1, 0.2, -0.3});
  const Response r = Solver(frame).solve(loads);
  EXPECT_GT(r.energy_Nmm, 0);
  Six sum = kFree;
  for (const Six& held : r.held) {
    for (int i = 0; i < 3; ++i) {
      sum[i] += held[i];
    }
  }
  EXPECT_NEAR(sum[0], -30 - 100, 1e-6);
  EXPECT_NEAR(sum[1], 50 - 200, 1e-6);
  EXPECT_NEAR(sum[2], 1000 + 300, 1e-6);
  const Response bare = Solver(frame).solve(pushed(2, {30, -50, -1000, 0, 0, 0}));
  EXPECT_NEAR(bare.work_Nmm, bare.energy_Nmm, 1e-9 * bare.energy_Nmm);
}

TEST(SpaceFrame, WhatIsFreeToMoveIsNamed) {
  Frame frame = bentArm(555579);
  frame.nodes[0].held = {true, true, true, false, true, true};  // may roll about its own line
  frame.nodes[2].at = {2000, 0, 0};
  try {
    Solver solver(frame);
    FAIL() << "solved what rolls freely";
  } catch (const std::domain_error& e) {
    EXPECT_NE(std::string(e.what()).find("free to move at ("), std::string::npos) << e.what();
  }
  frame.nodes[2].at = frame.nodes[1].at;
  EXPECT_THROW(Solver{frame}, std::domain_error);
}

}  // namespace
}  // namespace leafstack::frame
