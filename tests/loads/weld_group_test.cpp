// A force on a group of welds, against handbooks' closed forms and against springs one by one.
#include "generator/shop/welds/weld_group.h"

#include <gtest/gtest.h>

#include <cmath>
#include <gp_XYZ.hxx>
#include <string_view>
#include <vector>

#include "generator/loads/loads.h"
#include "generator/shop/weld_strength.h"
#include "generator/shop/welds/weld_rows.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::modelWith;

// Tables of machine-design handbooks, "unit" properties of fillets treated as lines; from memory.
// Two of length d, b apart, twisted in their plane: J_u = d (3 b^2 + d^2) / 6. Two upright ones of
// d bent about the middle: I_u = d^3 / 6.
TEST(WeldGroup, HandbooksUnitProperties) {
  const double d = 60, b = 40, throat = 2, force = 1000, arm = 90;
  const std::vector<WeldThroat> two = {{{0, 0, 0}, {d, 0, 0}, throat},
                                       {{0, b, 0}, {d, b, 0}, throat}};
  const double area = 2 * d * throat;
  const double j = throat * d * (3 * b * b + d * d) / 6;
  // Pulled across, `arm` from the middle along: the far end of a line has both parts.
  const double along = force * arm * (b / 2) / j, across = force / area + force * arm * (d / 2) / j;
  EXPECT_NEAR(weldGroupStress_N_mm2(two, {d / 2 + arm, b / 2, 0}, {0, force, 0}),
              std::hypot(along, across), 1e-9);
  // Out of their plane, about the middle between the two: I_u of lines across is d b^2 / 2.
  EXPECT_NEAR(weldGroupStress_N_mm2(two, {d / 2, b / 2 + arm, 0}, {0, 0, force}),
              force / area + force * arm * (b / 2) / (throat * d * b * b / 2), 1e-9);
  // And about the other axis: d^3 / 6.
  EXPECT_NEAR(weldGroupStress_N_mm2(two, {d / 2 + arm, b / 2, 0}, {0, 0, force}),
              force / area + force * arm * (d / 2) / (throat * d * d * d / 6), 1e-9);
  // Nothing keeps one line from turning about itself.
  EXPECT_TRUE(std::isinf(weldGroupStress_N_mm2({two.front()}, {0, arm, 0}, {0, 0, force})));
  EXPECT_TRUE(std::isinf(weldGroupStress_N_mm2({}, {0, 0, 0}, {0, 0, force})));
}

// Lines in space cut into 2000 springs each, their throats as stiffness: the stress found brings a
// part that gives u + t x r into balance. Solved by a method of its own, step by step (relaxation).
TEST(WeldGroup, SpringsOneByOne) {
  const std::vector<WeldThroat> welds = {{{0, 0, 0}, {70, 5, 0}, 2.1},
                                         {{0, 40, 10}, {0, 40, 55}, 3.5},
                                         {{70, 5, 0}, {66, 30, 20}, 1.4}};
  const gp_XYZ force(300, -120, 210), at(130, -25, 60);
  constexpr int kPieces = 2000;
  struct Spring {
    gp_XYZ at;
    double stiff = 0;
  };
  std::vector<Spring> springs;
  for (const WeldThroat& weld : welds) {
    const gp_XYZ from(weld.from[0], weld.from[1], weld.from[2]);
    const gp_XYZ to(weld.to[0], weld.to[1], weld.to[2]);
    for (int i = 0; i < kPieces; ++i) {
      springs.push_back({from + (to - from) * ((i + 0.5) / kPieces),
                         weld.throat_mm * (to - from).Modulus() / kPieces});
    }
  }
  gp_XYZ shift, turn;  // about the origin
  double stiff = 0, round = 0;
  for (const Spring& spring : springs) {
    stiff += spring.stiff;
    round += spring.stiff * spring.at.SquareModulus();
  }
  gp_XYZ left, left_turning;
  for (int step = 0; step < 4000; ++step) {
    left = force;
    left_turning = at.Crossed(force);
    for (const Spring& spring : springs) {
      const gp_XYZ bears = (shift + turn.Crossed(spring.at)) * spring.stiff;
      left -= bears;
      left_turning -= spring.at.Crossed(bears);
    }
    if (left.Modulus() < 1e-9 && left_turning.Modulus() < 1e-6) {
      break;
    }
    shift += left * (0.5 / stiff);
    turn += left_turning * (0.5 / round);
  }
  ASSERT_LT(left.Modulus(), 1e-6);
  ASSERT_LT(left_turning.Modulus(), 1e-3);
  double most = 0;
  for (const WeldThroat& weld : welds) {
    for (const Vec3& end : {weld.from, weld.to}) {
      most = std::max(most, (shift + turn.Crossed(gp_XYZ(end[0], end[1], end[2]))).Modulus());
    }
  }
  EXPECT_NEAR(
      weldGroupStress_N_mm2(welds, {at.X(), at.Y(), at.Z()}, {force.X(), force.Y(), force.Z()}),
      most, 1e-4 * most);
}

// Every bracket that holds ropes has its row; the drive's full force comes to the front panel held
// fast in shares of its travel: of three panels 2 / 3 in the first ropes, 1 / 3 in the second.
TEST(RopeBrackets, EveryOneIsCheckedUnderItsRopes) {
  for (const char* const opens : {"right", "left"}) {
    const Model model =
        modelWith({{"/gate/panels", 3}, {"/site/opens", opens}, {"/drive/motor/force_N", 900}});
    const LoadReport loads = findLoads(model);
    for (const RopeRow& rope : loads.ropes) {
      EXPECT_NEAR(rope.held_pull_N, rope.carrier == 1 ? 600 : 300, 1e-9) << rope.mark;
    }
    int brackets = 0, rows = 0;
    for (const Instance& one : model.instances) {
      const PartKind kind = model.parts[one.part].kind;
      brackets += kind == PartKind::kFrontBracket || kind == PartKind::kRearBracket ||
                          kind == PartKind::kGroundBracket
                      ? 1
                      : 0;
    }
    for (const StructureDetail& detail : loads.structure.details) {
      if (std::string_view(detail.id) == "rope-bracket-overload") {
        ++rows;
        EXPECT_GT(detail.acts, 0) << detail.name;
        EXPECT_LT(detail.use, 0.6) << detail.name;
      }
    }
    EXPECT_EQ(rows, brackets);
    EXPECT_EQ(rows, 4);
  }
}

// By hand: on the end of its rail, a bracket's welds as laid, about their own middle.
TEST(RopeBrackets, LeversCountAndWeldsGrow) {
  const auto rowsOf = [](double force_N) {
    const Model model = modelWith({{"/gate/panels", 2}, {"/drive/motor/force_N", force_N}});
    const LoadReport loads = findLoads(model);
    std::vector<WeldRow> rows = weldRows(model);
    weldToForces(model, loads, rows);
    std::vector<WeldRow> ours;
    for (const WeldRow& row : rows) {
      if (row.b.starts_with("FB") || row.a.starts_with("FB")) {
        ours.push_back(row);
      }
    }
    return ours;
  };
  const std::vector<WeldRow> usual = rowsOf(800), doubled = rowsOf(1600), huge = rowsOf(40000);
  ASSERT_FALSE(usual.empty());
  for (std::size_t i = 0; i < usual.size(); ++i) {
    EXPECT_NEAR(*doubled[i].use, 2 * *usual[i].use, 1e-9);
    EXPECT_GT(*usual[i].use, 0);
    // Straight through its welds the pull would do far less: the lever counts.
    double area = 0;
    for (const WeldRow& row : usual) {
      area += row.length_mm * row.leg_mm;
    }
    EXPECT_GT(*usual[i].use * 207.8, 1.5 * 400 / area);
    if (usual[i].kind == WeldKind::kFillet) {
      EXPECT_GT(huge[i].leg_mm, usual[i].leg_mm);
    }
  }
}

TEST(RopeBrackets, OverloadedOnesAreTold) {
  const Model model =
      modelWith({{"/gate/panels", 2}, {"/drive/motor/force_N", 50000}, {"/shop/weld_leg_mm", 1}});
  const LoadReport loads = findLoads(model);
  EXPECT_FALSE(loads.structure.holds());
  int told = 0;
  for (const Warning& one : warningsOf(model, loads)) {
    told += one.id == "rope-bracket-overload" ? 1 : 0;
  }
  EXPECT_EQ(told, 1);
}

}  // namespace
}  // namespace leafstack
