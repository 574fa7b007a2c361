// The review page's data: bodies' motion by rows, clearance curves, dimensions, and the page's
// text. What a browser makes of it: tests/readers/page/review.mjs.
#include <gtest/gtest.h>

#include <BRepBuilderAPI_Transform.hxx>
#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include "exporters/cad/mesh/gltf.h"
#include "exporters/page/review/bundle.h"
#include "exporters/page/review_data.h"
#include "exporters/page/review_page.h"
#include "generator/clash/curves.h"
#include "generator/occt/exact.h"
#include "generator/clash/placed/placed.h"
#include "generator/model/shown/motion_samples.h"
#include "generator/model/shown/overlay_dimensions.h"
#include "generator/verdict/warnings.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"
#include "tests/support/text_count.h"

namespace leafstack {
namespace {

const Provenance kPageProvenance = {"2024-01-01T00:00:00Z", std::string(64, 'a')};

Model surveyedModel(const char* hand = "right") {
  return gates::modelWith({{"/site/opening_mm", 5000},
                           {"/site/opens", hand},
                           {"/gate/panels", 3},
                           {"/site/track_survey_mm",
                            {{0, 0}, {900, -7}, {1800, 4}, {2700, 10}, {4000, 14}, {8000, 26}}}});
}

/// A point of a body at a position, as the page reads the rows: straight between them.
Vec3 readOff(const SampledBody& body, double drive_mm, const Vec3& point) {
  std::size_t next = 1;
  while (next + 1 < body.rows.size() && body.rows[next].drive_mm < drive_mm) {
    ++next;
  }
  const PoseRow& p = body.rows[next - 1];
  const PoseRow& q = body.rows[next];
  const double share = (drive_mm - p.drive_mm) / (q.drive_mm - p.drive_mm);
  const double turn = std::lerp(p.turn_rad, q.turn_rad, share);
  const double x = point[0] - body.pivot_mm[0];
  const double z = point[2] - body.pivot_mm[1];
  return {
      body.pivot_mm[0] + std::lerp(p.x_mm, q.x_mm, share) + std::cos(turn) * x - std::sin(turn) * z,
      point[1],
      body.pivot_mm[1] + std::lerp(p.z_mm, q.z_mm, share) + std::sin(turn) * x +
          std::cos(turn) * z};
}

/// Farthest that any corner of any instance's box is from where the true motion has it.
double farthestOff(const Model& model, const SampledMotion& motion) {
  constexpr double kShares[] = {0, 0.0013, 0.21, 0.333, 0.4999, 0.6234, 0.87, 0.9991, 1};
  double most = 0;
  for (const Instance& instance : model.instances) {
    for (const double share : kShares) {
      const double at = share * model.layout.drive_travel_mm;
      for (const Vec3& corner : {instance.bounds.low, instance.bounds.high}) {
        const Vec3 truth = carried(model.poseAt(instance.body, at), corner);
        const Vec3 read = readOff(motion.bodies.at(instance.body), at, corner);
        most = std::max(most, norm(minus(truth, read)));
      }
    }
  }
  return most;
}

TEST(ReviewMotion, RowsAreExactWhereBodiesGoStraight) {
  for (const char* hand : gates::kHands) {
    const Model model =
        gates::modelWith({{"/site/grade", 0.04}, {"/site/opens", hand}, {"/gate/panels", 3}});
    const SampledMotion motion = sampleMotion(model);
    constexpr double kRoundingMm = 1e-9;
    EXPECT_EQ(motion.within_mm, 0);
    EXPECT_LT(farthestOff(model, motion), kRoundingMm);
    for (int panel = 1; panel <= 3; ++panel) {
      const PoseRow& open = motion.bodies.at(panel).rows.back();
      EXPECT_NEAR(open.x_mm, model.opening_sign * panel * model.layout.drive_travel_mm,
                  kRoundingMm);
      EXPECT_NEAR(open.z_mm, 0.04 * panel * model.layout.drive_travel_mm, 1e-6);
    }
  }
}

TEST(ReviewMotion, RowsKeepWithinWhatTheyPromiseOnSurveyedGround) {
  for (const char* hand : gates::kHands) {
    const Model model = surveyedModel(hand);
    const SampledMotion motion = sampleMotion(model);
    EXPECT_GT(motion.within_mm, 0);
    EXPECT_LE(motion.within_mm, kSamplesWithinMm);
    const double off = farthestOff(model, motion);
    EXPECT_LE(off, motion.within_mm);
    EXPECT_GT(off, 0) << "the ground bends, so rows cannot be exact between themselves";
  }
}

/// The kernel's distance of two placed solids, the judge from outside.
double kernelDistance(const Model& model, int a, int b, double at_mm) {
  const auto placed = [&](int instance) {
    const Instance& one = model.instances[instance];
    return BRepBuilderAPI_Transform(model.parts[one.part].solid,
                                    locationAt(model, one, at_mm).Transformation(),
                                    /*copy=*/true)
        .Shape();
  };
  return kernelApproach(placed(a), placed(b)).distance_mm;
}

bool isRope(const Model& model, int instance) {
  return model.parts[model.instances[instance].part].kind == PartKind::kRope;
}

TEST(ClearanceCurves, AreWhatTheKernelMeasures) {
  constexpr double kMeshMm = 0.05;  // of the fine meshes, both sides
  for (const Model& model : {gates::modelWith({{"/gate/panels", 3}}), surveyedModel(),
                             gates::modelWith({{"/gate/panels", 2},
                                               {"/site/opens", "left"},
                                               {"/gate/cladding/kind", "boards"},
                                               {"/gate/infill/kind", "open"}})}) {
    const std::vector<ClearanceCurve> curves = clearanceCurves(model);
    ASSERT_EQ(curves.size(), static_cast<std::size_t>(kCurvesShown));
    int measured = 0;
    for (const ClearanceCurve& curve : curves) {
      if (isRope(model, curve.instance_a) || isRope(model, curve.instance_b)) {
        continue;
      }
      ++measured;
      EXPECT_NEAR(kernelDistance(model, curve.instance_a, curve.instance_b, curve.at_mm),
                  curve.least_mm, 2 * kDeflectionsMm[1])
          << curve.a.mark << " and " << curve.b.mark;
      EXPECT_NEAR(norm(minus(curve.points_mm[0], curve.points_mm[1])), curve.least_mm, 0.01);
      if (curve.pairs == 1) {
        for (std::size_t i = 0; i < curve.points.size(); i += curve.points.size() / 4) {
          const CurvePoint& point = curve.points[i];
          const double truth =
              kernelDistance(model, curve.instance_a, curve.instance_b, point.at_mm);
          EXPECT_NEAR(std::min(truth, kCurveToMm), point.clearance_mm, kMeshMm) << curve.a.mark;
        }
      }
    }
    EXPECT_GT(measured, 2);
  }
}

TEST(ClearanceCurves, BeginClosedEndOpenAndHoldTheirLeast) {
  const Model model = gates::modelWith({{"/gate/panels", 4}, {"/site/opening_mm", 8000}});
  double last = 0;
  for (const ClearanceCurve& curve : clearanceCurves(model)) {
    EXPECT_EQ(curve.points.front().at_mm, 0);
    EXPECT_NEAR(curve.points.back().at_mm, model.layout.drive_travel_mm, 1e-9);
    bool has_least = false;
    for (std::size_t i = 0; i < curve.points.size(); ++i) {
      EXPECT_TRUE(i == 0 || curve.points[i - 1].at_mm < curve.points[i].at_mm);
      EXPECT_GE(curve.points[i].clearance_mm, curve.least_mm - 0.03);
      has_least = has_least || (curve.points[i].at_mm == curve.at_mm &&
                                curve.points[i].clearance_mm == curve.least_mm);
    }
    EXPECT_TRUE(has_least) << curve.a.mark;
    EXPECT_GE(curve.least_mm, last) << "the tightest first";
    last = curve.least_mm;
  }
}

TEST(ClearanceCurves, TightestIsTheClashChecksLeast) {
  const Model model = gates::modelWith({{"/gate/panels", 3}});
  const ClashReport clash = checkClashes(model);
  ASSERT_NE(clash.least_clearance_between, "");
  EXPECT_NEAR(clearanceCurves(model).front().least_mm, clash.least_clearance_mm,
              2 * kDeflectionsMm[0]);
}

TEST(OverlayDimensions, AreTheLayoutsAndAsLongAsTheySay) {
  for (const char* hand : gates::kHands) {
    const Model model = gates::modelWith(
        {{"/gate/panels", 3}, {"/site/opens", hand}, {"/gate/stacking", "staggered"}});
    const auto rows = overlayDimensions(model);
    ASSERT_EQ(rows.size(), 7U);  // opening, room, two overlaps, two staggers, height
    EXPECT_EQ(rows[0].value_mm, model.layout.opening_mm);
    EXPECT_EQ(rows[0].from_mm[0], 0);
    EXPECT_EQ(rows[1].value_mm, model.layout.room_total_mm);
    for (const int panel : {1, 2}) {
      const PanelLayout& behind = model.layout.panel(panel);
      EXPECT_NEAR(rows[2 * panel].value_mm, behind.overlap_mm, 1e-9);
      EXPECT_NEAR(rows[2 * panel + 1].value_mm, behind.stagger_mm, 1e-9);
      // Where panel 2 or 3, the one in front, ends when closed.
      EXPECT_NEAR(model.opening_sign * rows[2 * panel].to_mm[0],
                  model.layout.panel(panel + 1).trailing_closed_mm, 1e-9);
    }
    for (const OverlayDimension& row : rows) {
      EXPECT_NEAR(norm(minus(row.from_mm, row.to_mm)), row.value_mm, 1e-9) << row.label;
      EXPECT_GT(row.value_mm, 0) << row.label;
    }
  }
}

// Hidden by the coarse meshes' errors: a round part against a round one.
TEST(ClearanceCurves, NoFindingIsTighterThanTheLastOfThem) {
  const Model model = gates::modelWith({{"/site/opening_mm", 5600},
                                        {"/checks/clearance_mm", 20},
                                        {"/checks/hardware_clearance_mm", 5},
                                        {"/hardware/motor/pinion_offset_mm", 25}});
  const auto curves = clearanceCurves(model);
  const auto clash = checkClashes(model);
  int told = 0;
  for (const Finding& finding : clash.findings) {
    if (model.instances.at(finding.instance_a).body ==
            model.instances.at(finding.instance_b).body ||
        finding.clearance_mm > curves.back().least_mm - 0.02) {
      continue;
    }
    ++told;
    const bool is_there = std::any_of(curves.begin(), curves.end(), [&](const auto& curve) {
      return std::set<std::string>{curve.a.mark, curve.b.mark} ==
             std::set<std::string>{finding.a.mark, finding.b.mark};
    });
    EXPECT_TRUE(is_there) << finding.text;
  }
  EXPECT_GT(told, 3);
}

std::string pageWith(const std::string& title) {
  Model model = gates::modelWith({{"/gate/panels", 2}});
  model.spec.job.title = title;
  model.parts.front().name = title;
  const Schedules schedules = makeSchedules(model);
  const ClashReport clash = checkClashes(model);
  const std::string glb = glbFile(model, kPageProvenance);
  const std::vector<ClearanceCurve> curves = clearanceCurves(model);
  return reviewPage({model, schedules, clash, {warningsOf(model, schedules)}, glb, curves, nullptr},
                    kPageProvenance);
}

TEST(ReviewPage, HoldsItsOwnScriptsWhateverTheGateIsCalled) {
  const std::string plain = pageWith("Court");
  const std::string odd = pageWith("</script><script>alert(1)</script> {{data}} & \"x\"");
  // data, both models and script end once each, in both.
  EXPECT_EQ(countOf(plain, "</script"), 4U);
  EXPECT_EQ(countOf(odd, "</script"), 4U);
  EXPECT_NE(odd.find("&lt;/script&gt;"), std::string::npos);
  EXPECT_NE(plain.find("Content-Security-Policy\" content=\"default-src 'none'"),
            std::string::npos);
  EXPECT_NE(plain.find("three.js authors"), std::string::npos) << "the bundle's licence";
  EXPECT_EQ(plain, pageWith("Court")) << "same gate, same bytes";
}

}  // namespace
}  // namespace leafstack
