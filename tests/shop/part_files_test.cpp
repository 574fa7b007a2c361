// What parts' files are called, the frame they are in, and the holes of tubes in that frame.
#include "generator/shop/part_files.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <numbers>
#include <set>

#include "generator/geometry/numbers.h"
#include "generator/layout/layout.h"
#include "generator/occt/checked.h"
#include "generator/shop/cutouts.h"
#include "tests/support/random_gates.h"

namespace leafstack {
namespace {

Model modelOf(const gates::Json& file) {
  const GateSpec spec = gates::specOf(file);
  const LayoutResult laid_out = layOut(spec);
  EXPECT_TRUE(laid_out.problems.empty());
  return buildModel(spec, laid_out.layout);
}

TEST(PartFiles, NamesCarryTheJobAndNothingThatAFileCannot) {
  JobSpec job;
  EXPECT_EQ(fileStem(job, "BR1"), "BR1");
  EXPECT_EQ(productName(job, "BR1", "bottom rail"), "BR1 bottom rail");
  job.number = "NC-1";
  EXPECT_EQ(fileStem(job, "BR1"), "NC-1_BR1");
  EXPECT_EQ(productName(job, "BR1", "bottom rail"), "BR1 bottom rail (NC-1)");
  EXPECT_EQ(productName(job, "GATE"), "GATE (NC-1)");
  job.number = "../26 no. 4/\\:*\xC3\xA4";
  EXPECT_EQ(fileStem(job, "BR1"), "---26-no--4------_BR1");
  job.number = std::string(200, '7');
  EXPECT_LT(fileStem(job, "BR1").size(), 50U);
}

/// Gates of both hands, level and raked, in steel and aluminium.
std::vector<gates::Json> gateFiles() {
  return {gates::gateFile({{"/gate/panels", 3}}),
          gates::gateFile({{"/gate/panels", 3}, {"/site/opens", "left"}}),
          gates::gateFile({{"/gate/panels", 2}, {"/site/grade", -0.06}, {"/site/opens", "left"}}),
          gates::gateFile(
              {{"/gate/panels", 2}, {"/site/grade", 0.04}, {"/gate/material", "aluminium"}})};
}

TEST(PartFiles, TubesLieAlongXFromZeroPlatesInXYFromZero) {
  for (const gates::Json& file : gateFiles()) {
    const Model model = modelOf(file);
    int tubes = 0, plates = 0;
    for (const Part& part : model.parts) {
      SCOPED_TRACE(part.in_words);
      const gp_Trsf motion = fileMotion(part, model.opening_sign);
      EXPECT_NEAR(motion.ScaleFactor(), 1, 1e-12);
      EXPECT_FALSE(motion.IsNegative()) << "a part is turned, never mirrored";
      if (part.supply != Supply::kCutTube && part.supply != Supply::kCutBar &&
          part.supply != Supply::kCutPlate && part.supply != Supply::kCutTimber) {
        EXPECT_EQ(motion.Form(), gp_Identity);
        continue;
      }
      const Bounds bounds = tightBounds(part.solid.Moved(motion));
      const auto extent = [&](int axis) { return bounds.high[axis] - bounds.low[axis]; };
      for (int axis = 0; axis < 3; ++axis) {
        EXPECT_NEAR(bounds.low[axis], 0, 2 * kBoundsSlackMm) << axis;
      }
      if (part.supply == Supply::kCutPlate) {
        EXPECT_GE(extent(0), std::max(extent(1), extent(2)) - 2 * kBoundsSlackMm);
      } else {
        const auto off = [&](int axis) { return std::abs(extent(axis) - part.length_mm); };
        EXPECT_LE(off(0), std::min(off(1), off(2)) + 2 * kBoundsSlackMm);
      }
      if (part.supply == Supply::kCutPlate) {
        ++plates;
        EXPECT_LE(extent(2), extent(1) + 2 * kBoundsSlackMm);
      } else if (part.tube) {
        ++tubes;
      }
    }
    EXPECT_GT(tubes, 10);
    EXPECT_GT(plates, 2);
  }
}

/// What a bench reads of a hole, whichever hand: from the leading end.
std::multiset<std::string> holesOf(const Model& model) {
  std::multiset<std::string> holes;
  for (const CutoutRow& row : cutoutRows(model)) {
    holes.insert(row.mark + " " + row.wall + " " + row.kind + " " +
                 std::to_string(std::llround(row.x_mm * 1000)) + " " +
                 std::to_string(std::llround(row.length_mm * 1000)) + " " + row.what);
  }
  return holes;
}

TEST(Cutouts, BothHandsCountFromTheLeadingEnd) {
  for (const double grade : {0.0, 0.05}) {
    const auto right =
        holesOf(modelOf(gates::gateFile({{"/gate/panels", 3}, {"/site/grade", grade}})));
    const auto left = holesOf(modelOf(
        gates::gateFile({{"/gate/panels", 3}, {"/site/grade", grade}, {"/site/opens", "left"}})));
    EXPECT_GT(right.size(), 20U);
    EXPECT_EQ(right, left);
  }
}

// The file's 0 is the rail's outermost corner, the list's the lower leading one, from which the cut
// list's words count: 100 high on 8 %, 8 apart where the upper corner comes first, else 0. One
// datum: every axle that the words have at X the list has at X.
TEST(Cutouts, CountFromTheCornerThatTheCutListCountsFrom) {
  for (const double grade : {-0.08, 0.08}) {
    for (const char* opens : {"right", "left"}) {
      const Model model = modelOf(
          gates::gateFile({{"/gate/panels", 2}, {"/site/grade", grade}, {"/site/opens", opens}}));
      int axles = 0;
      std::set<long> offsets;
      for (const CutoutRow& row : cutoutRows(model)) {
        if (row.name != "bottom rail") {
          EXPECT_TRUE(row.name == "top rail" || row.from_end_mm == row.x_mm);
          continue;
        }
        const auto part = std::find_if(model.parts.begin(), model.parts.end(),
                                       [&](const Part& one) { return one.mark == row.mark; });
        offsets.insert(std::lround(100 * (row.x_mm - row.from_end_mm)));
        if (row.what == "wheel axle") {
          ++axles;
          const std::string at = "at " + shown(row.from_end_mm) + ",";
          EXPECT_TRUE(std::any_of(
              part->cutouts.begin(), part->cutouts.end(),
              [&](const std::string& words) { return words.find(at) != std::string::npos; }))
              << row.mark << " " << at;
        }
      }
      EXPECT_GT(axles, 0);
      ASSERT_EQ(offsets.size(), 1U);
      EXPECT_TRUE(*offsets.begin() == 0 || *offsets.begin() == 800) << *offsets.begin();
    }
  }
}

// By EN 10219-2's section area (corners 2t outside and t inside for walls up to 6, annex B.3): what
// the holes of a square-ended rail take off its walls is all that it lacks.
TEST(Cutouts, TheyAreAllThatARailLacks) {
  const Model model = modelOf(gates::gateFile({{"/gate/panels", 3}}));
  std::map<std::string, double> cut_mm2;
  for (const CutoutRow& row : cutoutRows(model)) {
    EXPECT_FALSE(row.what.empty() && row.name == "bottom rail") << row.mark << " " << row.x_mm;
    const double corners = (4 - std::numbers::pi) * row.corner_mm * row.corner_mm;
    cut_mm2[row.mark] += row.length_mm * row.width_mm - corners;
  }
  int rails = 0;
  for (const Part& part : model.parts) {
    if (part.kind != PartKind::kBottomRail) {
      continue;
    }
    ++rails;
    const double t = part.tube->wall_mm, h = part.tube->height_mm, b = part.tube->depth_mm;
    const double outer = 2 * t, inner = t;
    const double area =
        2 * t * (b + h - 2 * t) - (4 - std::numbers::pi) * (outer * outer - inner * inner);
    EXPECT_NEAR(area * part.length_mm - cut_mm2[part.mark] * t, part.volume_mm3,
                1e-6 * part.volume_mm3)
        << part.mark;
  }
  EXPECT_EQ(rails, 3);
}

}  // namespace
}  // namespace leafstack
