// V4 of exporters/paper/views/projection.h: circles seen square on are arcs, by hand.
#include <gtest/gtest.h>

#include <BRepAlgoAPI_Cut.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <cmath>
#include <numbers>
#include <set>

#include "exporters/paper/views/projection.h"
#include "tests/paper/drawing_views.h"

namespace leafstack {
namespace {

using views::box;
using views::kPlan;
using views::movedBy;
using views::placed;

TEST(DrawingProjection, V4CirclesSquareOnAreArcs) {
  const TopoDS_Shape disc = BRepAlgoAPI_Cut(BRepPrimAPI_MakeCylinder(40, 8).Shape(),
                                            BRepPrimAPI_MakeCylinder(10, 8).Shape())
                                .Shape();
  const auto curves = projected({placed(disc)}, kPlan);
  ASSERT_EQ(curves.size(), 2U);
  std::set<long> radii;
  for (const ViewCurve& curve : curves) {
    EXPECT_TRUE(curve.is_closed);
    EXPECT_TRUE(curve.is_contour);
    ASSERT_EQ(curve.vertices.size(), 2U);
    EXPECT_NEAR(curve.vertices[0].bulge, 1, 1e-9);
    EXPECT_NEAR(curve.vertices[1].bulge, 1, 1e-9);
    radii.insert(std::lround(std::hypot(curve.vertices[0].x_mm, curve.vertices[0].y_mm)));
  }
  EXPECT_EQ(radii, (std::set<long>{10, 40}));
}

TEST(DrawingProjection, V4ArcsStayArcsWherePartlyHidden) {
  // A disc of radius 40, its right part below a plate from x = 20 on: cut at +-60 degrees.
  const auto curves = projected({placed(BRepPrimAPI_MakeCylinder(40, 8).Shape(), false),
                                 placed(box(100, 200, 5), false, movedBy(20, -100, 30))},
                                kPlan);
  double turn = 0;
  for (const ViewCurve& curve : curves) {
    if (curve.solid == 0) {
      for (std::size_t i = 0; i + 1 < curve.vertices.size(); ++i) {
        turn += 4 * std::atan(curve.vertices[i].bulge);
        EXPECT_NEAR(std::hypot(curve.vertices[i].x_mm, curve.vertices[i].y_mm), 40, 1e-9);
      }
      EXPECT_NEAR(curve.vertices.front().x_mm, 20, 0.1);
      EXPECT_NEAR(curve.vertices.back().x_mm, 20, 0.1);
    }
  }
  EXPECT_NEAR(std::abs(turn), 4 * std::numbers::pi / 3, 0.004);
}

}  // namespace
}  // namespace leafstack
