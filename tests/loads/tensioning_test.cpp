// What the installer sets a rope to, by hand arithmetic.
#include "generator/loads/tensioning.h"

#include <gtest/gtest.h>

namespace leafstack {
namespace {

RopeRow ropeOf(bool opening, double working_N, int order) {
  RopeRow rope;
  rope.mark = opening ? "RO1" : "RO2";
  rope.opening = opening;
  rope.working_tension_N = working_N;
  rope.length_mm = 4000;
  rope.free_length_mm = 3800;
  rope.mass_kg = 0.25;
  rope.tension_order = order;
  rope.each_way_mm = 12;
  return rope;
}

// Of 300 and 210 N that the two ropes of a panel work with, both get half of 300. A rope of 0.25 kg
// on 4 m weighs 6.13e-4 N/mm; over 2000 mm at 150 N it sags 6.13e-4 x 2000^2 / (8 x 150) = 2.04
// (parabola, w L^2 / (8 T)).
TEST(Tensioning, BothRopesOfAPanelGetHalfOfWhatWorks) {
  const auto steps = tensioningSteps({ropeOf(true, 300, 2), ropeOf(false, 210, 1)});
  ASSERT_EQ(steps.size(), 4U);
  for (const std::size_t i : {1, 2}) {
    EXPECT_NE(steps[i].find(
                  "; set it to 150 N: a free length of 2000 mm then sags 2 mm midway and takes 3 N "
                  "to push 10 mm aside there; 12 mm in"),
              std::string::npos)
        << steps[i];
  }
}

// 4 T d / L = 3 N at 150 N, 10 mm and 2000 mm. One of 4000 mm that gives 8 mm at 300 N has E A =
// 300 x 4000 / 8 = 150000 N; pushed aside it is longer by 2 d^2 / L = 0.1 mm, which adds 150000 x
// 0.1 / 4000 = 3.75 N: 4 x 153.75 x 10 / 2000 = 3.08 N. Statics of a flat triangle.
TEST(Tensioning, PushedAsideARopeStretches) {
  RopeRow rope = ropeOf(true, 300, 1);
  rope.length_mm = 4000;
  rope.stretch_mm = 8;
  EXPECT_NE(tensioningSteps({rope}).at(1).find("takes 3.1 N to push 10 mm aside"),
            std::string::npos);
}

// A rope that never works is not given a tension of nothing.
TEST(Tensioning, WithoutAForceNothingIsSaid) {
  const auto steps = tensioningSteps({ropeOf(true, 0, 1)});
  ASSERT_EQ(steps.size(), 3U);
  EXPECT_EQ(steps[1].find("set it to"), std::string::npos);
}

}  // namespace
}  // namespace leafstack
