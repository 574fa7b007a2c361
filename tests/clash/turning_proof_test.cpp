// Panels that pitch: what is proved of whole stretches of travel against the kernel's own distance
// of the exact solids, moved by their poses, at positions the proof never looks at.
#include <gtest/gtest.h>

#include <BRepExtrema_DistShapeShape.hxx>
#include <TopExp_Explorer.hxx>
#include <algorithm>
#include <random>

#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/proof.h"
#include "generator/layout/layout.h"
#include "params/read_gate.h"

namespace leafstack {
namespace {

constexpr double kLookedAtMm = 25;  // pairs further apart say little
constexpr double kRoundingMm = 1e-6;

Model surveyedGate(const std::string& hand) {
  const ReadResult read = readGate(R"({"site": {"opening_mm": 3600, "opens": ")" + hand + R"(",
    "track_survey_mm": [[0, 0], [700, -14], [1500, 9], [2300, 2], [3600, 25], [7000, 40]]},
    "gate": {"panels": 2, "height_mm": 1000, "infill": {"kind": "open"}}})",
                                   "test");
  return buildModel(read.gate->spec, layOut(read.gate->spec).layout);
}

double kernelDistance(const PlacedShapes& shapes, int a, int b, double drive) {
  const BRepExtrema_DistShapeShape distance(shapes.shapeAt(a, drive), shapes.shapeAt(b, drive));
  return distance.IsDone() ? distance.Value() : -1;
}

/// The kernel takes seconds for the distance of parts of many faces.
bool isPlain(const Model& model, int instance) {
  constexpr int kFaces = 20;
  int faces = 0;
  const Part& part = model.parts[model.instances[instance].part];
  for (TopExp_Explorer all(part.solid, TopAbs_FACE); all.More(); all.Next()) {
    ++faces;
  }
  return faces <= kFaces;
}

class TurningProof : public ::testing::TestWithParam<const char*> {};

TEST_P(TurningProof, HoldsAtPositionsInBetween) {
  const Model model = surveyedGate(GetParam());
  PlacedShapes shapes(model);
  ASSERT_FALSE(shapes.motions().allStraight());
  std::mt19937 random(20);
  std::vector<std::array<int, 2>> pairs;
  const int count = static_cast<int>(model.instances.size());
  for (int a = 0; a < count; ++a) {
    for (int b = a + 1; b < count; ++b) {
      const bool apart = isPlain(model, a) && isPlain(model, b) && !shapes.isOneBody(a, b) &&
                         !shapes.isRope(a) && !shapes.isRope(b);
      if (apart && nearStretch(shapes, a, b, kLookedAtMm)) {
        pairs.push_back({a, b});
      }
    }
  }
  std::shuffle(pairs.begin(), pairs.end(), random);
  int compared = 0;
  int met = 0;
  for (const auto& [a, b] : pairs) {
    const Stretch near = *nearStretch(shapes, a, b, kLookedAtMm);
    const Clearance least = leastBetween(shapes, {a, b, Fineness::kFine}, near, {kLookedAtMm});
    if (least.at_least_mm <= 0 || compared > 200) {
      continue;  // meant to touch
    }
    std::uniform_real_distribution<double> position(near.from_mm, near.to_mm);
    for (int i = 0; i < 10; ++i) {
      const double drive = position(random);
      EXPECT_GE(kernelDistance(shapes, a, b, drive), least.at_least_mm - kRoundingMm)
          << model.instanceName(a) << " " << model.instanceName(b) << " at " << drive;
      ++compared;
    }
    if (least.at_least_mm < kLookedAtMm) {
      ++met;
      // The bound is no empty one: it is all but reached where it says.
      EXPECT_NEAR(kernelDistance(shapes, a, b, least.at_mm), least.at_least_mm, 0.1)
          << model.instanceName(a) << " " << model.instanceName(b);
    }
  }
  EXPECT_GT(compared, 100);
  EXPECT_GT(met, 10);
}

// Ropes and what is fixed to where they are held, which is looked at from there.
TEST_P(TurningProof, HoldsForRopesBesideWhatHoldsThem) {
  const Model model = surveyedGate(GetParam());
  PlacedShapes shapes(model);
  std::mt19937 random(21);
  int compared = 0;
  int met = 0;
  for (const RopeRun& run : model.ropes) {
    for (int other = 0; other < static_cast<int>(model.instances.size()); ++other) {
      const int body = shapes.bodyOf(other);
      if ((body != run.frontBody() && body != run.rearBody()) || shapes.isRope(other) ||
          !isPlain(model, other)) {
        continue;
      }
      const auto near = nearStretch(shapes, run.instance, other, kLookedAtMm);
      if (!near) {
        continue;
      }
      const Clearance least =
          leastBetween(shapes, {run.instance, other, Fineness::kFine}, *near, {kLookedAtMm});
      if (least.at_least_mm <= 0) {
        continue;  // held by it
      }
      std::uniform_real_distribution<double> position(near->from_mm, near->to_mm);
      for (int i = 0; i < 5; ++i) {
        const double drive = position(random);
        EXPECT_GE(kernelDistance(shapes, run.instance, other, drive),
                  least.at_least_mm - kRoundingMm)
            << run.mark << " " << model.instanceName(other) << " at " << drive;
        ++compared;
      }
      if (least.at_least_mm < kLookedAtMm) {
        ++met;
        // A strand that slants is taken as cut square to its carrier's rail: off by its radius where
        // it is steepest, more than all else.
        EXPECT_NEAR(kernelDistance(shapes, run.instance, other, least.at_mm), least.at_least_mm,
                    model.spec.ropes.diameter_mm / 2)
            << run.mark << " " << model.instanceName(other);
      }
    }
  }
  EXPECT_GT(compared, 30);
  EXPECT_GT(met, 4);
}

INSTANTIATE_TEST_SUITE_P(Hands, TurningProof, ::testing::Values("right", "left"));

}  // namespace
}  // namespace leafstack
