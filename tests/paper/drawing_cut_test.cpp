// Cuts through solids and their hatching: V6 of exporters/paper/views/projection.h. Judges: section
// formulas, volumes, and cases worked out by hand.
#include <gtest/gtest.h>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepPrimAPI_MakeBox.hxx>

#include <cmath>
#include <numbers>

#include "exporters/bytes/export_error.h"
#include "exporters/paper/views/projection.h"
#include "exporters/paper/views/solids/view_geometry.h"
#include "generator/layout/figures/sections.h"
#include "generator/occt/checked.h"
#include "generator/occt/solids/tube.h"
#include "tests/paper/drawing_views.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"

namespace leafstack {
namespace {

using views::box;
using views::kEnd;
using views::kPlan;
using views::kRoad;
using views::movedBy;
using views::placed;
using views::plainLines;
using views::rectangle;
using views::rhs;
using views::sorted;
using views::threePanels;

// ---------------------------------------------------------------- cuts

TEST(DrawingCut, V6AHollowSectionHasItsArea) {
  // By the formula of EN 10219-2 (generator/layout/figures/sections.h), at ten places and turns.
  Dice dice(9);
  for (const HollowSection& section : {rhs(100, 50, 3), rhs(60, 60, 4), rhs(40, 20, 2)}) {
    const TopoDS_Shape tube = drilledSection(section, 700, {});
    for (int i = 0; i < 10; ++i) {
      const CutView cut = cutView({placed(tube)}, kEnd, {{1, 0, 0}, dice.in(1, 699)});
      ASSERT_EQ(cut.faces.size(), 1U);
      ASSERT_EQ(cut.faces[0].loops.size(), 2U);
      EXPECT_NEAR(cut.faces[0].area_mm2, bendingAcross(section).area_mm2, 1e-6);
      for (const auto& loop : cut.faces[0].loops) {
        EXPECT_EQ(loop.size(), 8U);  // four flats, four rounded corners
      }
      EXPECT_TRUE(cut.behind.empty());  // all of it lies on the outlines
    }
  }
}

TEST(DrawingCut, ACutTubeShowsItsInside) {
  // Lengthwise through the middle of a tube with a plate across inside it, and one box behind.
  const TopoDS_Shape tube = drilledSection(rhs(100, 50, 3), 500, {});
  const CutView cut =
      cutView({placed(tube, false), placed(box(10, 20, 60), false, movedBy(200, 26, 20)),
               placed(box(10, 20, 60), false, movedBy(300, 60, 20))},
              kRoad, {{0, -1, 0}, -25});
  ASSERT_EQ(cut.faces.size(), 1U);
  EXPECT_EQ(cut.faces[0].loops.size(), 2U);  // both walls
  EXPECT_NEAR(cut.faces[0].area_mm2, 2 * 3 * 500, 1e-6);
  // The ends of the tube behind, and the box inside; not the one behind the tube's rear wall.
  auto expected = rectangle(1, 200, 20, 210, 80);
  expected.push_back({0, 0, 0, 3, 0, 97});
  expected.push_back({0, 0, 500, 3, 500, 97});
  EXPECT_EQ(plainLines(cut.behind), sorted(expected));
}

TEST(DrawingCut, APlaneThroughAFaceIsNoNonsense) {
  const std::vector<PlacedViewSolid> one = {placed(box(30, 20, 10))};
  // On top: nothing is cut, all is seen. On the underside: nothing is left.
  const CutView on_top = cutView(one, kPlan, {{0, 0, 1}, 10});
  EXPECT_TRUE(on_top.faces.empty());
  EXPECT_EQ(plainLines(on_top.behind), sorted(rectangle(0, 0, 0, 30, 20)));
  const CutView below = cutView(one, kPlan, {{0, 0, 1}, 0});
  EXPECT_TRUE(below.faces.empty());
  EXPECT_TRUE(below.behind.empty());
  // Through the tread of a step: the riser's part is cut, the tread is seen beside it.
  const TopoDS_Shape step =
      BRepAlgoAPI_Cut(box(100, 40, 40),
                      BRepPrimAPI_MakeBox(gp_Pnt(-1, -1, 20), 102, 21, 40).Shape())
          .Shape();
  const CutView tread = cutView({placed(step)}, kPlan, {{0, 0, 1}, 20});
  ASSERT_EQ(tread.faces.size(), 1U);
  EXPECT_NEAR(tread.faces[0].area_mm2, 100 * 20, 1e-6);
  EXPECT_EQ(plainLines(tread.behind),
            sorted({{0, 0, 0, 0, 0, 20}, {0, 0, 0, 0, 100, 0}, {0, 0, 100, 0, 100, 20}}));
}

TEST(DrawingCut, IsSeenAgainstItsNormalOnly) {
  EXPECT_THROW(cutView({placed(box(1, 1, 1))}, kRoad, {{1, 0, 0}, 0.5}), ExportError);
}

TEST(DrawingCut, V6SlicesAddUpToTheVolume) {
  // Cavalieri's principle: areas at even steps, from any side, times the step.
  constexpr int kSlices = 160;
  const std::set<PartKind> kinds = {PartKind::kWheel,        PartKind::kPulley,
                                    PartKind::kPulleyPin,    PartKind::kStile,
                                    PartKind::kFrontBracket, PartKind::kGuideChannel};
  std::set<PartKind> done;
  Dice dice(21);
  for (const Part& part : threePanels().parts) {
    if (!kinds.count(part.kind) || !done.insert(part.kind).second) {
      continue;
    }
    const PictureView view = views::slanting(dice.in(0, 6), dice.in(0.2, 1.2));
    const std::vector<PlacedViewSolid> one = {placed(part.solid, false)};
    double low = 1e9;
    double high = -1e9;
    const TriangleMesh mesh(part.solid, gp_Trsf());
    for (const Vec3& point : mesh.points()) {
      low = std::min(low, dot(view.toward, point));
      high = std::max(high, dot(view.toward, point));
    }
    double volume = 0;
    for (int i = 0; i < kSlices; ++i) {
      const double offset = std::lerp(low, high, (i + 0.5) / kSlices);
      for (const CutFace& face : cutView(one, view, {view.toward, offset}).faces) {
        volume += face.area_mm2 * (high - low) / kSlices;
      }
    }
    EXPECT_NEAR(volume, part.volume_mm3, 0.005 * part.volume_mm3) << part.name;
  }
  EXPECT_EQ(done.size(), kinds.size());
}

// ---------------------------------------------------------------- hatching

TEST(DrawingHatching, CoversItsAreaAndGoesOnNextDoor) {
  const std::vector<std::vector<PathVertex>> ring = {{{0, 0, 1}, {40, 0, 1}},
                                                     {{10, 0, -1}, {30, 0, -1}}};
  for (double angle : {45.0, 135.0}) {
    double length = 0;
    for (const Path& line : hatching(ring, 0.1, angle)) {
      EXPECT_EQ(line.role, LineRole::kHatch);
      ASSERT_EQ(line.vertices.size(), 2U);
      const PathVertex& a = line.vertices[0];
      const PathVertex& b = line.vertices[1];
      length += std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
      const double turn = angle * std::numbers::pi / 180;
      for (const PathVertex& p : {a, b}) {
        const double beside = (p.y_mm * std::cos(turn) - p.x_mm * std::sin(turn)) / 0.1;
        EXPECT_NEAR(beside, std::round(beside), 1e-6);
        const double out = std::hypot(p.x_mm - 20, p.y_mm);
        EXPECT_LT(std::min(std::abs(out - 20), std::abs(out - 10)), 1e-6);
      }
    }
    EXPECT_NEAR(length * 0.1, std::numbers::pi * (400 - 100), 1);
  }
}

TEST(DrawingHatching, OfNothingOrWithoutSpacingIsNothing) {
  const std::vector<std::vector<PathVertex>> square = {
      {{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}}};
  EXPECT_TRUE(hatching({}, 1, 45).empty());
  EXPECT_TRUE(hatching(square, 0, 45).empty());
  EXPECT_TRUE(hatching(square, -1, 45).empty());
  EXPECT_TRUE(hatching(square, std::nan(""), 45).empty());
  EXPECT_TRUE(hatching(square, 1e-9, 45).empty());
  EXPECT_EQ(hatching(square, 0.5, 45).size(), 3U);
}

}  // namespace
}  // namespace leafstack
