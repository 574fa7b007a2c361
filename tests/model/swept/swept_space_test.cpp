// The space that panels sweep, against the parts' own points at positions through the travel.
#include "generator/model/swept/swept_space.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <gp_Pnt.hxx>

#include "generator/geometry/mesh/part_mesh.h"
#include "generator/occt/checked.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

using gates::Json;

/// Farthest outside the space, negative inside.
double outside(const SweptSpace& space, const gp_Pnt& at) {
  double most = std::max(space.low_y_mm - at.Y(), at.Y() - space.high_y_mm);
  for (std::size_t i = 0; i < space.outline_mm.size(); ++i) {
    const auto& a = space.outline_mm[i];
    const auto& b = space.outline_mm[(i + 1) % space.outline_mm.size()];
    const double x = b[0] - a[0], z = b[1] - a[1];
    most = std::max(most, (x * (a[1] - at.Z()) - z * (a[0] - at.X())) / std::hypot(x, z));
  }
  return most;
}

class Swept : public testing::TestWithParam<const char*> {};

TEST_P(Swept, HoldsAllThatMoves) {
  const GateSpec spec = gates::specOf(Json::parse(GetParam()));
  const Model model = buildModel(spec, gates::laidOut(spec));
  const auto spaces = sweptSpaces(model);
  ASSERT_EQ(spaces.size(), model.layout.panels.size());
  std::vector<double> nearest(spaces.size(), -1e9);
  constexpr int kLooks = 13;  // no divisor of the positions that it is made from
  for (const Instance& instance : model.instances) {
    const Part& part = model.parts[instance.part];
    if (instance.panel == 0 || part.kind == PartKind::kRope) {
      continue;
    }
    const PartMesh mesh = partMesh(part.solid, {0.1});
    for (int look = 0; look <= kLooks; ++look) {
      const gp_Trsf place =
          locationAt(model, instance, model.layout.drive_travel_mm * look / kLooks)
              .Transformation();
      for (const Vec3& point : mesh.points) {
        double& most = nearest[instance.panel - 1];
        most = std::max(most, outside(spaces[instance.panel - 1],
                                      gp_Pnt(point[0], point[1], point[2]).Transformed(place)));
      }
    }
  }
  for (const double most : nearest) {
    EXPECT_LT(most, 0);
    EXPECT_GT(most, -2 * kSweptMarginMm);  // no wider than it must be: something reaches its side
  }
}

INSTANTIATE_TEST_SUITE_P(
    OwnGates, Swept,
    testing::Values(R"({"leafstack":1,"site":{"opening_mm":4700},"gate":{"panels":2}})",
                    R"({"leafstack":1,"site":{"opening_mm":5300,"opens":"left","grade":0.04},
            "gate":{"panels":3}})",
                    R"({"leafstack":1,"site":{"opening_mm":4600,
            "track_survey_mm":[[-3000,0],[0,0],[2300,-9],[4600,0],[9000,0]]},
            "gate":{"panels":2}})"));

// A level panel's space is a block: its own length and travel, its own height and depth.
TEST(Swept, ALevelPanelsIsABlock) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 2}});
  const Model model = buildModel(spec, gates::laidOut(spec));
  const auto spaces = sweptSpaces(model);
  for (const SweptSpace& space : spaces) {
    Bounds closed{{1e9, 1e9, 1e9}, {-1e9, -1e9, -1e9}};
    for (const Instance& instance : model.instances) {
      if (instance.panel == space.panel) {
        for (int axis = 0; axis < 3; ++axis) {
          closed.low[axis] = std::min(closed.low[axis], instance.bounds.low[axis]);
          closed.high[axis] = std::max(closed.high[axis], instance.bounds.high[axis]);
        }
      }
    }
    const double travel = std::abs(model.shiftMm(space.panel, model.layout.drive_travel_mm));
    double low = 1e9, high = -1e9;
    for (const auto& [x, z] : space.outline_mm) {
      low = std::min(low, x);
      high = std::max(high, x);
    }
    EXPECT_NEAR(high - low, closed.high[0] - closed.low[0] + travel + 2 * kSweptMarginMm, 1e-2);
    EXPECT_NEAR(space.high_y_mm - space.low_y_mm,
                closed.high[1] - closed.low[1] + 2 * kSweptMarginMm, 1e-2);
    EXPECT_GT(massProperties(solidOf(space)).volume_mm3, 0);
  }
}

}  // namespace
}  // namespace leafstack
