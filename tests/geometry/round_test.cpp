// Which solids are the same however they are turned about the Y axis: bodies whose shape is known
// by how they are made.
#include <gtest/gtest.h>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>

#include <gp.hxx>
#include <numbers>

#include "generator/occt/round.h"

namespace leafstack {
namespace {

const gp_Ax2 kAboutY{gp::Origin(), gp::DY()};

TEST(Round, WhatIsTurnedAboutTheAxisIs) {
  const TopoDS_Shape disc = BRepPrimAPI_MakeCylinder(kAboutY, 40, 24).Shape();
  EXPECT_TRUE(isRoundAboutY(disc));
  EXPECT_TRUE(isRoundAboutY(BRepPrimAPI_MakeCone(kAboutY, 10, 4, 8).Shape()));
  // A wheel: bored, and with a round groove.
  const TopoDS_Shape bored =
      BRepAlgoAPI_Cut(disc, BRepPrimAPI_MakeCylinder(kAboutY, 8, 24).Shape()).Shape();
  const TopoDS_Shape groove =
      BRepPrimAPI_MakeTorus(gp_Ax2(gp_Pnt(0, 12, 0), gp::DY()), 42, 10).Shape();
  EXPECT_TRUE(isRoundAboutY(BRepAlgoAPI_Cut(bored, groove).Shape()));
}

TEST(Round, WhatHasAPlaceOfItsOwnOnItIsNot) {
  const TopoDS_Shape disc = BRepPrimAPI_MakeCylinder(kAboutY, 40, 24).Shape();
  EXPECT_FALSE(isRoundAboutY(BRepPrimAPI_MakeBox(10, 10, 10).Shape()));
  EXPECT_FALSE(isRoundAboutY(BRepPrimAPI_MakeCylinder(kAboutY, 40, 24, std::numbers::pi).Shape()));
  EXPECT_FALSE(
      isRoundAboutY(BRepPrimAPI_MakeCylinder(gp_Ax2(gp::Origin(), gp::DZ()), 5, 9).Shape()));
  // A hole beside the axis, a key's flat, an axis a hundredth off.
  const gp_Ax2 beside(gp_Pnt(20, 0, 0), gp::DY());
  EXPECT_FALSE(isRoundAboutY(
      BRepAlgoAPI_Cut(disc, BRepPrimAPI_MakeCylinder(beside, 4, 24).Shape()).Shape()));
  EXPECT_FALSE(isRoundAboutY(
      BRepAlgoAPI_Cut(disc, BRepPrimAPI_MakeBox(gp_Pnt(38, -1, -50), 10, 26, 100).Shape())
          .Shape()));
  gp_Trsf moved;
  moved.SetTranslation({0.01, 0, 0});
  EXPECT_FALSE(isRoundAboutY(BRepBuilderAPI_Transform(disc, moved, true).Shape()));
}

}  // namespace
}  // namespace leafstack
