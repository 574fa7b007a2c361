// The kernel asked in part, or in the order of others' effort: the same as asked whole, or in turn.
#include "generator/clash/placed/exact.h"

#include <gtest/gtest.h>
#include <BRepAlgoAPI_Common.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakePolygon.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakePrism.hxx>

#include <random>
#include <set>
#include <string>
#include <vector>

#include "generator/clash/placed/ahead.h"
#include "generator/occt/checked.h"

namespace leafstack {
namespace {

/// A comb of 300 teeth 5 wide, 10 apart, 20 high, 30 deep on a back 10 high: more faces than the
/// kernel is given whole.
TopoDS_Shape comb() {
  constexpr int kTeeth = 300;
  BRepBuilderAPI_MakePolygon outline;
  outline.Add(gp_Pnt(0, 0, -10));
  outline.Add(gp_Pnt(kTeeth * 10, 0, -10));
  for (int i = kTeeth - 1; i >= 0; --i) {
    for (const auto& [x, z] : {std::pair(10, 0), {5, 0}, {5, 20}, {0, 20}}) {
      outline.Add(gp_Pnt(10 * i + x, 0, z));
    }
  }
  outline.Close();
  return BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(outline.Wire()), gp_Vec(0, 30, 0)).Shape();
}

TopoDS_Shape box(const gp_Pnt& low, double x, double y, double z) {
  return BRepPrimAPI_MakeBox(low, x, y, z).Shape();
}

TEST(SharedSolid, OfAPartOfManyFaces) {
  const TopoDS_Shape many = comb();
  struct Case {
    const char* what;
    TopoDS_Shape other;
    double volume_mm3;
  };
  const std::vector<Case> cases = {
      {"across two teeth and a half", box({1002, 10, 5}, 21, 5, 5), (3 + 5 + 3) * 5 * 5.0},
      {"into the back", box({1002, -5, -5}, 2, 10, 10), 2 * 5 * 10.0},
      {"within a tooth", box({1001, 10, 5}, 2, 5, 5), 2 * 5 * 5.0},
      {"within the back, no face near", box({1001, 10, -7}, 30, 5, 2), 30 * 5 * 2.0},
      {"between two teeth", box({1006, 10, 5}, 2, 5, 5), 0},
      {"far from it", box({1006, 10, 500}, 2, 5, 5), 0},
      {"face on face outside", box({1005, 0, 0}, 5, 30, 20), 0},
      {"face on face within", box({1000, 0, 5}, 5, 30, 15), 5 * 30 * 15.0},
      {"round it", box({-5, -5, -15}, 3100, 40, 50), 300 * 5 * 30 * 20.0 + 3000 * 30 * 10.0}};
  for (const Case& one : cases) {
    for (const bool turned : {false, true}) {
      const SharedSolid shared =
          turned ? sharedSolid(one.other, many) : sharedSolid(many, one.other);
      EXPECT_NEAR(shared.volume_mm3, one.volume_mm3, 1e-6 * (1 + one.volume_mm3)) << one.what;
      EXPECT_EQ(shared.solid.IsNull(), one.volume_mm3 == 0) << one.what;
    }
  }
}

TEST(SharedSolid, OfAPartOfManyFacesAsTheWholeBoolean) {
  const TopoDS_Shape many = comb();
  std::mt19937 random(18);
  std::uniform_real_distribution<double> share(0, 1);
  for (int i = 0; i < 3; ++i) {
    const gp_Ax2 axis(gp_Pnt(1500 + 10 * share(random), 15, -15 + 10 * share(random)),
                      gp_Dir(0.1 + share(random), 0.3 * share(random), share(random)));
    const TopoDS_Shape rod =
        BRepPrimAPI_MakeCylinder(axis, 1 + 4 * share(random), 30 + 20 * share(random)).Shape();
    const SharedSolid shared = sharedSolid(many, rod);
    const double whole = massProperties(BRepAlgoAPI_Common(many, rod).Shape()).volume_mm3;
    EXPECT_GT(whole, 1);
    EXPECT_NEAR(shared.volume_mm3, whole, 1e-6 * whole);
  }
}

TEST(KernelApproach, AsTheKernelMeasuresSolids) {
  const TopoDS_Shape outer = box({0, 0, 0}, 100, 100, 100);
  for (const gp_Pnt& at : {gp_Pnt(40, 40, 40), gp_Pnt(-15, 20, 30), gp_Pnt(95, 95, 95),
                           gp_Pnt(100, 40, 40), gp_Pnt(103, 104, 112), gp_Pnt(90.5, 30, 30)}) {
    const TopoDS_Shape inner = box(at, 9, 9, 9);
    const double whole = BRepExtrema_DistShapeShape(outer, inner).Value();
    EXPECT_NEAR(kernelApproach(outer, inner).distance_mm, whole, 1e-9) << at.X();
    EXPECT_NEAR(kernelApproach(inner, outer).distance_mm, whole, 1e-9) << at.X();
  }
}

/// A search that needs so much, asks whether half is gone, and tells what it came to.
struct Came {
  std::string to;
  Effort effort;
};
Came searched(int needs, Effort effort) {
  std::string to;
  for (int step = 0; step < needs && !effort.isCut(); ++step) {
    effort.take(1);
    to = effort.isCut() ? "cut short at " + std::to_string(step)
                        : (effort.taken() > effort.left() ? "dear" : "done");
  }
  return {to, effort};
}

TEST(Searches, AheadAsInTurn) {
  std::mt19937 random(7);
  std::set<std::string> kinds;
  int again = 0;
  for (int round = 0; round < 200; ++round) {
    const GateEffort::Grants grants{
        .in_all = std::uniform_int_distribution(50, 3000)(random), .least = 10, .most = 300};
    std::vector<std::pair<int, int>> coming;
    for (int i = 0; i < 60; ++i) {
      const int largest = i % 7 == 0 ? 400 : 40;
      coming.push_back({i, std::uniform_int_distribution(1, largest)(random)});
    }
    std::atomic<int> calls = 0;
    Searches<int, int, Came> ahead(grants, [&](int needs, const Effort& granted) {
      ++calls;
      return searched(needs, granted);
    });
    ahead.expect(coming);
    GateEffort in_turn(grants);
    // One that was not expected, and some twice: what was said before counts as taken again.
    auto asked = coming;
    asked.insert(asked.begin() + 20, {1000, 33});
    asked.insert(asked.end(), coming.begin(), coming.begin() + 10);
    for (const auto& [id, needs] : asked) {
      const Came own = searched(needs, in_turn.grant());
      in_turn.settle(own.effort);
      const Came said = ahead.inTurn(id, needs);
      EXPECT_EQ(said.to, own.to) << round << ": " << id << " needs " << needs;
      EXPECT_EQ(said.effort.taken(), own.effort.taken());
      kinds.insert(own.to.substr(0, 4));
    }
    again += calls > static_cast<int>(coming.size()) + 1;
  }
  EXPECT_EQ(kinds, (std::set<std::string>{"done", "dear", "cut "}));
  EXPECT_GT(again, 20) << "too few were granted less than ahead";
}

}  // namespace
}  // namespace leafstack
