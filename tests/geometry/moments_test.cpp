// Volumes and centroids from edges alone. Judges: the kernel, which integrates over faces, and
// formulas of solid geometry.
#include "generator/occt/moments.h"

#include <gtest/gtest.h>

#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <GProp_GProps.hxx>
#include <cmath>
#include <numbers>

#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

constexpr double kRelative = 1e-10;

void expectAsTheKernel(const TopoDS_Shape& solid, const std::string& name) {
  const std::optional<Moments> own = flatAndRoundMoments(solid);
  ASSERT_TRUE(own) << name;
  GProp_GProps kernel;
  BRepGProp::VolumeProperties(solid, kernel);
  EXPECT_NEAR(own->volume_mm3 / kernel.Mass(), 1, kRelative) << name;
  const gp_XYZ away = own->first_mm4 / own->volume_mm3 - kernel.CentreOfMass().XYZ();
  EXPECT_LT(away.Modulus(), kRelative * (1 + kernel.CentreOfMass().XYZ().Modulus())) << name;
  GProp_GProps surface;
  BRepGProp::SurfaceProperties(solid, surface);
  EXPECT_NEAR(own->area_mm2 / surface.Mass(), 1, kRelative) << name;
}

TEST(FlatAndRoundMoments, AreTheKernelsForEveryPart) {
  std::vector<const Model*> models;
  for (const gates::Built& gate : gates::builtMatrix()) {
    models.push_back(&gate.model);
  }
  const Model raked = gates::modelWith({{"/site/opening_mm", 5100},
                                        {"/site/grade", 0.05},
                                        {"/site/opens", "left"},
                                        {"/gate/panels", 2}});
  models.push_back(&raked);
  int taken = 0, left = 0;
  for (const Model* model : models) {
    for (const Part& part : model->parts) {
      if (flatAndRoundMoments(part.solid)) {
        ++taken;
        expectAsTheKernel(part.solid, part.in_words);
      } else {
        ++left;
      }
    }
  }
  EXPECT_GT(taken, 10 * left);
}

TEST(FlatAndRoundMoments, AreThoseOfFormulas) {
  const auto tube = flatAndRoundMoments(BRepAlgoAPI_Cut(BRepPrimAPI_MakeCylinder(20, 100).Shape(),
                                                        BRepPrimAPI_MakeCylinder(15, 100).Shape())
                                            .Shape());
  ASSERT_TRUE(tube);
  const double expected = std::numbers::pi * (20 * 20 - 15 * 15) * 100;
  EXPECT_NEAR(tube->volume_mm3, expected, 1e-9 * expected);
  EXPECT_NEAR(tube->first_mm4.Z(), expected * 50, 1e-9 * expected * 50);
  EXPECT_NEAR(tube->first_mm4.X(), 0, 1e-9 * expected);
  // Half of a cylinder: its centroid is 4 r / (3 pi) from the cut.
  const auto half = flatAndRoundMoments(BRepPrimAPI_MakeCylinder(30, 10, std::numbers::pi).Shape());
  ASSERT_TRUE(half);
  EXPECT_NEAR(half->first_mm4.Y() / half->volume_mm3, 4 * 30 / (3 * std::numbers::pi), 1e-9);
}

TEST(FlatAndRoundMoments, TurnMirrorAndInsideOut) {
  gp_Trsf turn, shift, mirror;
  turn.SetRotation(gp_Ax1({3, -2, 7}, gp_Dir(1, 2, 3)), 0.7);
  shift.SetTranslation({250, -90, 1800});
  mirror.SetMirror(gp_Ax2({11, 5, -4}, gp_Dir(1, 0, 0)));
  const TopoDS_Shape solid =
      BRepAlgoAPI_Cut(
          BRepPrimAPI_MakeBox(120, 80, 30).Shape(),
          BRepPrimAPI_MakeCylinder(gp_Ax2({60, 40, -1}, gp_Dir(0, 0, 1)), 12, 40).Shape())
          .Shape();
  for (const gp_Trsf& motion : {turn, shift * turn, mirror, mirror * turn}) {
    for (const bool is_copied : {false, true}) {
      const TopoDS_Shape placed = BRepBuilderAPI_Transform(solid, motion, is_copied).Shape();
      expectAsTheKernel(placed, is_copied ? "copied" : "placed");
      expectAsTheKernel(placed.Reversed(), "inside out");
    }
  }
  const auto right = flatAndRoundMoments(solid);
  const auto reversed = flatAndRoundMoments(solid.Reversed());
  ASSERT_TRUE(right && reversed);
  EXPECT_NEAR(reversed->volume_mm3, -right->volume_mm3, 1e-6);
}

TEST(FlatAndRoundMoments, OfConesAndRings) {
  for (const TopoDS_Shape& solid :
       {BRepPrimAPI_MakeCone(gp_Ax2({5, 6, 7}, gp_Dir(1, 1, 0)), 10, 5, 20).Shape(),
        BRepPrimAPI_MakeCone(gp_Ax2({5, 6, 7}, gp_Dir(1, 1, 0)), 0, 5, 20, 2).Shape(),
        BRepPrimAPI_MakeTorus(gp_Ax2({9, 1, 4}, gp_Dir(0, 1, 1)), 50, 8).Shape(),
        BRepPrimAPI_MakeTorus(gp_Ax2({9, 1, 4}, gp_Dir(0, 1, 1)), 50, 8, 1.3).Shape()}) {
    expectAsTheKernel(solid, "round");
  }
}

TEST(FlatAndRoundMoments, LeaveTheRestToTheKernel) {
  EXPECT_FALSE(flatAndRoundMoments(BRepPrimAPI_MakeSphere(10).Shape()));
  // A cylinder cut by another is no whole patch.
  EXPECT_FALSE(flatAndRoundMoments(
      BRepAlgoAPI_Cut(
          BRepPrimAPI_MakeCylinder(20, 100).Shape(),
          BRepPrimAPI_MakeCylinder(gp_Ax2({-30, 0, 50}, gp_Dir(1, 0, 0)), 6, 60).Shape())
          .Shape()));
}

}  // namespace
}  // namespace leafstack
