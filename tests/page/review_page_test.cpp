// The review page's data: bodies' motion by rows, clearance curves, dimensions, and the page's
// text. What a browser makes of it: tests/readers/page/review.mjs.
#include <gtest/gtest.h>

#include <BRepBuilderAPI_Transform.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <string>

#include "exporters/cad/mesh/gltf.h"
#include "exporters/page/review/bundle.h"
#include "exporters/page/review_data.h"
#include "exporters/page/review_page.h"
#include "generator/clash/curves.h"
#include "generator/clash/placed/placed.h"
#include "generator/model/shown/motion_samples.h"
#include "generator/model/shown/overlay_dimensions.h"
#include "generator/occt/exact.h"
#include "generator/shop/place_dimensions.h"
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
    // opening, room, two overlaps, two staggers, three lengths, height, clearance
    ASSERT_EQ(rows.size(), 11U);
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
    for (const int panel : {1, 2, 3}) {
      EXPECT_EQ(rows[5 + panel].label, "length of panel " + std::to_string(panel));
      EXPECT_NEAR(rows[5 + panel].value_mm, model.layout.panel(panel).length_mm, 1e-9);
    }
    EXPECT_EQ(rows[9].key, "/gate/height_mm");
    EXPECT_EQ(rows[10].key, "/gate/ground_clearance_mm");
    EXPECT_NEAR(rows[10].value_mm, model.spec.gate.ground_clearance_mm, 1e-9);
    for (const OverlayDimension& row : rows) {
      EXPECT_EQ(row.set, DimensionSet::kClient) << row.label;
      EXPECT_NEAR(norm(minus(row.from_mm, row.to_mm)), row.value_mm, 1e-9) << row.label;
      EXPECT_GT(row.value_mm, 0) << row.label;
    }
  }
}

// On a slope the clearance is square to the driveway, from it to the rail.
TEST(OverlayDimensions, ClearanceIsSquareToASlopeAndEndsOnIt) {
  const Model model = gates::modelWith({{"/gate/panels", 2}, {"/site/grade", 0.05}});
  const auto rows = overlayDimensions(model);
  const auto row = std::find_if(rows.begin(), rows.end(), [](const OverlayDimension& one) {
    return one.key == "/gate/ground_clearance_mm";
  });
  ASSERT_NE(row, rows.end());
  EXPECT_NEAR(row->value_mm, model.layout.panel(2).least_ground_mm, 1e-6);
  EXPECT_NEAR(row->from_mm[2], 0.05 * row->from_mm[0], 1e-9);  // on the driveway
  const double run = row->to_mm[0] - row->from_mm[0], rise = row->to_mm[2] - row->from_mm[2];
  EXPECT_NEAR(run + 0.05 * rise, 0, 1e-9);  // square to it
}

// What stands on the page is what stands in the set-out list; either hand has the list's figures
// and its own side of the model.
TEST(PlaceDimensions, SayWhatTheSetOutListSays) {
  for (const char* hand : gates::kHands) {
    const Model model = gates::modelWith({{"/gate/panels", 3}, {"/site/opens", hand}});
    const Schedules schedules = makeSchedules(model);
    const auto rows = placeDimensions(model, schedules.set_out);
    std::set<std::string> shown_items;
    for (const OverlayDimension& row : rows) {
      EXPECT_EQ(row.set, DimensionSet::kInstaller);
      if (row.line != DimensionLine::kPlace) {
        continue;
      }
      shown_items.insert(row.label);
      const auto told = std::find_if(
          schedules.set_out.begin(), schedules.set_out.end(), [&](const SetOutRow& one) {
            return one.item == row.label && one.at_mm[0] == model.opening_sign * row.from_mm[0] &&
                   one.at_mm[1] == row.from_mm[1] && one.at_mm[2] == row.from_mm[2];
          });
      ASSERT_NE(told, schedules.set_out.end()) << row.label;
      EXPECT_TRUE(row.figures.starts_with("X " + std::to_string(std::lround(told->at_mm[0]))) ||
                  std::abs(told->at_mm[0]) < 0.5)
          << row.label << ": " << row.figures;
      EXPECT_EQ(row.from_mm[0], row.to_mm[0]) << "led square to the track";
    }
    for (const char* item : {"datum", "guide post", "guide channel", "catch post", "stop buffer",
                             "pinion", "ground rope bracket", "end stop of panel 1",
                             "end stop of panel 2", "end stop of panel 3"}) {
      EXPECT_EQ(shown_items.count(item), 1U) << item;
    }
    // Four anchors under the guide post: two rows along, two across.
    std::map<std::string, double> apart;
    for (const OverlayDimension& row : rows) {
      if (row.line == DimensionLine::kSmall) {
        apart[row.label] = row.value_mm;
        EXPECT_NEAR(norm(minus(row.from_mm, row.to_mm)), row.value_mm, 1e-9) << row.label;
      }
    }
    std::vector<std::array<double, 3>> anchors;
    for (const SetOutRow& row : schedules.set_out) {
      if (row.item == "guide post" && row.point == "anchor") {
        anchors.push_back(row.at_mm);
      }
    }
    ASSERT_EQ(anchors.size(), 4U);
    EXPECT_NEAR(apart.at("anchors of the guide post, along"),
                std::abs(anchors[3][0] - anchors[0][0]), 1e-9);
    EXPECT_NEAR(apart.at("anchors of the guide post, across"),
                std::abs(anchors[3][1] - anchors[0][1]), 1e-9);
  }
}

// Six figures an end. The greatest movement across of a panel's lines is the one that is told.
TEST(ShapesData, AreTheFramesOwnMovements) {
  const Model model = gates::modelWith({{"/gate/panels", 3}, {"/site/opens", "left"}});
  const Schedules schedules = makeSchedules(model);
  const StructureReport& structure = schedules.loads.structure;
  const auto shapes = shapesData(model, structure);
  ASSERT_EQ(shapes.size(), 3U);
  for (std::size_t i = 0; i < shapes.size(); ++i) {
    const DeflectedShape& shape = structure.deflected[i];
    EXPECT_EQ(shapes[i]["at_mm"], 0.5 * i * model.layout.drive_travel_mm);
    const auto& frame = shapes[i]["frame"];
    const auto& infill = shapes[i]["infill"];
    ASSERT_EQ(frame.size() + infill.size(), 12 * shape.lines.size());
    EXPECT_GT(infill.size(), 0U);
    std::size_t at = 0;
    for (const DeflectedLine& line : shape.lines) {
      if (!line.is_infill) {
        EXPECT_NEAR(frame[at].get<double>(), -line.from[0], 0.051);
        EXPECT_NEAR(frame[at + 4].get<double>(), line.from_moved[1] - line.from[1], 5.1e-4);
        at += 12;
      }
    }
    double most = 0;
    for (std::size_t k = 0; k < shape.lines.size(); ++k) {
      most = shape.lines[k].panel > 0
                 ? std::max({most, std::abs(shape.lines[k].from_moved[1] - shape.lines[k].from[1]),
                             std::abs(shape.lines[k].to_moved[1] - shape.lines[k].to[1])})
                 : most;
    }
    EXPECT_NEAR(shapes[i]["most_mm"].get<double>(), most, 1e-6);
    // Where the gate is drawn: within its own bounds closed.
    if (i == 0) {
      for (std::size_t k = 0; k < frame.size(); k += 6) {
        EXPECT_LT(frame[k].get<double>(), 500) << "a left-hand gate stands at negative X";
      }
    }
  }
  StructureReport odd = structure;
  odd.deflected.front().state = "ajar";
  EXPECT_THROW(shapesData(model, odd), ExportError);
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
