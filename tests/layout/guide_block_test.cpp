// Guide blocks whose jaws turn on a bolt: their solids, and where they stand on slopes.
#include <gtest/gtest.h>

#include <cmath>
#include <gp_Trsf.hxx>
#include <numbers>
#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "params/read_gate.h"
#include "tests/support/report_text.h"

namespace leafstack::guide_block {
namespace {

constexpr double kVolumeMm3 = 1e-3;  // what the kernel's integrals leave
constexpr double kPlaceMm = 1e-6;

GateSpec specOf(const std::string& gate) {
  const ReadResult read = readGate(gate, "test");
  EXPECT_TRUE(read.gate) << gate << (read.gate ? "" : toString(read.problems.front()));
  return read.gate->spec;
}

std::string gateText(int panels, const std::string& mount, const std::string& top, double grade,
                     const std::string& guide = R"({"block_mount": "pivoted"})") {
  return R"({"site": {"opening_mm": )" + std::to_string(1600 + 1900 * panels) + R"(, "opens": ")" +
         (panels % 2 == 0 ? "left" : "right") + R"(", "grade": )" + std::to_string(grade) +
         R"(}, "gate": {"panels": )" + std::to_string(panels) + R"(, "top": ")" + top +
         R"("}, "guides": {"mount": ")" + mount + R"("}, "hardware": {"guide": )" + guide + "}}";
}

Model modelOf(const std::string& gate) {
  const GateSpec spec = specOf(gate);
  const LayoutResult laid_out = layOut(spec);
  EXPECT_TRUE(laid_out.problems.empty())
      << gate << (laid_out.problems.empty() ? "" : laid_out.problems.front().text);
  return buildModel(spec, laid_out.layout);
}

const Part& partOf(const Model& model, PartKind kind) {
  for (const Part& part : model.parts) {
    if (part.kind == kind) {
      return part;
    }
  }
  throw std::logic_error("no such part");
}

/// Slope of an instance's own X, rise per mm.
double slopeOf(const Instance& instance) {
  const gp_XYZ x = instance.at_closed.Transformation().VectorialPart().Column(1);
  return x.Z() / x.X();
}

// Channel 80 x 40 (49 less 9 before its lips), walls 4, play 1, lips 16: the body is 70 x 30 x 60,
// the neck between the lips 80 - 2 (16 + 1) = 46 wide and 1 + 5 deep. M8: 14.38 over corners (ISO
// 4014), nut 6.8 (ISO 4032), let in with 1 all round; bore 8.2.
TEST(GuideBlock, PivotedOnesHaveTheirVolumes) {
  const Model model = modelOf(gateText(2, "post", "raked", 0));
  const double bore = std::numbers::pi * 4.1 * 4.1;
  const double nut = std::numbers::pi * std::pow(14.38 / 2 + 1, 2) * (6.8 + 1);
  EXPECT_NEAR(partOf(model, PartKind::kGuideBlock).volume_mm3,
              70 * 30 * 60 + 46 * 6 * 60 - bore * (1 + 35 - 7.8) - nut, kVolumeMm3);
  // Jaws: leg 4 with 1 beside it at 9 before the lips, so from 8 to 14; jaw 7, roof 20, the rail 32
  // high: 7 x (20 + 32) behind, 13 x 20 above, 7 x (32 - 4 - 2) before the leg.
  EXPECT_NEAR(partOf(model, PartKind::kGuideJaws).volume_mm3,
              46 * (7 * 52 + 13 * 20 + 7 * 26) - bore * 20, kVolumeMm3);
  // Shank from the jaws' face, 21 before the lips, to 1 before the nut's room ends at 35.
  const double corners = std::numbers::pi * 7.19 * 7.19;
  EXPECT_NEAR(partOf(model, PartKind::kPivotBolt).volume_mm3,
              corners * (5.3 + 6.8) + std::numbers::pi * 16 * (21 + 35 - 7.8), kVolumeMm3);
}

// On a rake channel, block and bolt stand plumb and the jaws lie along the rail; bolted fast, all
// lean with it.
TEST(GuideBlock, OnlyTheJawsOfAPivotedOneLean) {
  const double grade = 0.05;
  for (const bool pivoted : {true, false}) {
    const Model model = modelOf(
        gateText(3, "post", "raked", grade,
                 pivoted ? R"({"block_mount": "pivoted"})" : R"({"block_mount": "bolted"})"));
    int jaws = 0;
    for (const Instance& one : model.instances) {
      const PartKind kind = model.parts[one.part].kind;
      if (kind == PartKind::kGuideChannel || kind == PartKind::kGuideBlock) {
        EXPECT_NEAR(slopeOf(one), pivoted ? 0 : grade, 1e-12);
      } else if (kind == PartKind::kGuideJaws) {
        ++jaws;
        EXPECT_NEAR(slopeOf(one), grade, 1e-12);
      }
    }
    EXPECT_EQ(jaws, pivoted ? 3 : 0);
  }
}

// atan 0.05 = 2.8624 degrees of turn, square to a rail of 32 with 20 above it: the bolt is
// (32 + 20) / 2 / cos above the rail's middle, the block's top 10 over that.
TEST(GuideBlock, TheLayoutFollowsTheBolt) {
  const GateSpec spec = specOf(gateText(2, "overhead", "raked", 0.05));
  const Layout layout = layOut(spec).layout;
  for (const GuideLayout& guide : layout.guides) {
    EXPECT_NEAR(guide.turn_deg, 2.8624052, 1e-6);
    EXPECT_NEAR(guide.pivotUpMm(), 26 * std::sqrt(1 + 0.0025), kPlaceMm);
    EXPECT_NEAR(guide.blockTopMm(), 26 * std::sqrt(1 + 0.0025) + 10, kPlaceMm);
    // Block and half of its height either way, inside the channel.
    EXPECT_LE(guide.blockTopMm(), guide.channel_high_mm);
    EXPECT_GE(guide.blockTopMm() - 60, guide.channel_low_mm);
    // The plumb channel's higher edge is below its panel's raked top.
    const double top = guide.z_mm + guide.channel_high_mm;
    EXPECT_LE(top, layout.panel(guide.panel).topZ(guide.x_mm) - 0.05 * 40 + kPlaceMm);
  }
}

TEST(GuideBlock, JawsThatCannotTurnFarEnoughAreRefused) {
  const char* guide = R"({"block_mount": "pivoted", "turn_deg": 2.5})";
  const LayoutResult refused = layOut(specOf(gateText(2, "post", "raked", -0.05, guide)));
  ASSERT_EQ(refused.problems.size(), 1U);
  EXPECT_EQ(refused.problems.front().pointer, "/hardware/guide/turn_deg");
  EXPECT_NE(refused.problems.front().text.find("2.86"), std::string::npos)
      << refused.problems.front().text;
  // Level and stepped tops have level guide rails: nothing turns.
  for (const char* top : {"level", "stepped"}) {
    EXPECT_TRUE(layOut(specOf(gateText(2, "post", top, -0.05, guide))).problems.empty()) << top;
  }
}

TEST(GuideBlock, PivotedOnesAreClear) {
  int panels = 1;
  for (const char* mount : {"post", "overhead", "reach-over"}) {
    for (const char* top : {"raked", "level", "stepped"}) {
      for (const double grade : {-0.05, 0.0, 0.08}) {
        if (grade > 0.05 && std::string(top) != "raked") {
          continue;  // steps of such a grade leave no channel
        }
        const std::string gate = gateText(panels, mount, top, grade);
        panels = panels % 4 + 1;
        const ClashReport clash = checkClashes(modelOf(gate));
        EXPECT_EQ(clash.verdict, Verdict::kClear) << gate << "\n" << allText(clash);
      }
    }
  }
}

// Over a hump panels lean against each other, and jaws against their blocks, by what two chords of
// the hump differ: 12 mm over 2500 either side, at most some 0.6 degrees.
TEST(GuideBlock, OnASurveyJawsTurnAsPanelsLean) {
  const Model model = modelOf(R"({"site": {"opening_mm": 5000, "track_survey_mm":
      [[-500, 0], [2500, 12], [5500, 0], [9000, -14]]}, "gate": {"panels": 2},
      "hardware": {"guide": {"block_mount": "pivoted"}}})");
  double most = 0;
  for (const GuideLayout& guide : model.layout.guides) {
    EXPECT_NE(guide.jaw_body, guide.block_body);
    most = std::max(most, guide.turn_deg);
    // The two are at one place, all the way: on the bolt.
    for (const double at : {0.0, 700.0, model.layout.drive_travel_mm}) {
      const double up = guide.pivotUpMm();
      const std::array<double, 3> bolt = {guide.x_mm, 0, guide.z_mm + up};
      const auto block = carried(model.travels[guide.block_body]->at(at), bolt);
      const auto jaws = carried(model.travels[guide.jaw_body]->at(at), bolt);
      EXPECT_NEAR(block[0], jaws[0], kPlaceMm);
      EXPECT_NEAR(block[2], jaws[2], kPlaceMm);
    }
  }
  EXPECT_GT(most, 0.1);
  EXPECT_LT(most, 1.5);
  const std::string text = allText(checkClashes(model));
  EXPECT_EQ(text.find("guide block"), std::string::npos) << text;
}

}  // namespace
}  // namespace leafstack::guide_block
