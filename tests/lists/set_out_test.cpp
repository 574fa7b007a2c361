// The set-out list on a driveway that falls across: one slab, and where levels count from.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "generator/layout/ground/site_extents.h"
#include "generator/shop/schedules.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

std::vector<SetOutRow> rowsOf(const std::vector<SetOutRow>& all, const std::string& item) {
  std::vector<SetOutRow> rows;
  std::copy_if(all.begin(), all.end(), std::back_inserter(rows),
               [&](const SetOutRow& row) { return row.item == item; });
  return rows;
}

// By hand: the concrete lies as the driveway does, 6 % along and 1.5 % across, and at level 0 on
// the front track, whose middle is setback 15 and half a frame of 50 behind the fence line.
TEST(SetOut, ASlabWithAFallHasFourCorners) {
  const Model model = gates::modelWith({{"/site/opening_mm", 4987.5},
                                        {"/gate/panels", 2},
                                        {"/gate/top", "stepped"},
                                        {"/site/grade", 0.06},
                                        {"/site/cross_grade", 0.015}});
  constexpr double kTrackY = 15 + 25;
  const std::vector<SetOutRow> all = makeSchedules(model).set_out;
  const FootingExtent slab = footingExtent(model.spec, model.layout);
  const std::vector<SetOutRow> corners = rowsOf(all, "footing");
  ASSERT_EQ(corners.size(), 4U);
  std::vector<std::array<double, 2>> places;
  for (const SetOutRow& row : corners) {
    const auto& [x, y, z] = row.at_mm;
    EXPECT_NEAR(z, 0.06 * x + 0.015 * (y - kTrackY), 0.01) << x << ' ' << y;
    EXPECT_EQ(row.mark, "FT1 to FT3");
    places.push_back({x, y});
  }
  const std::vector<std::array<double, 2>> wanted = {{slab.from_x_mm, slab.from_y_mm},
                                                     {slab.from_x_mm, slab.to_y_mm},
                                                     {slab.to_x_mm, slab.from_y_mm},
                                                     {slab.to_x_mm, slab.to_y_mm}};
  EXPECT_EQ(places, wanted);
  // The driveway at the fence line lies lower than on the track.
  const std::vector<SetOutRow> datum = rowsOf(all, "datum");
  ASSERT_EQ(datum.size(), 1U);
  EXPECT_NEAR(datum.front().at_mm[2], -0.015 * kTrackY, 1e-6);
  const std::vector<SetOutRow> levels = rowsOf(all, "datum of levels");
  ASSERT_EQ(levels.size(), 1U);
  EXPECT_EQ(levels.front().at_mm, (std::array<double, 3>{0, kTrackY, 0}));
}

// Whose place a row tells is the piece that lies there; and rows of a track go along it.
TEST(SetOut, PointsOfTracksAreThoseOfThePieceThere) {
  const nlohmann::json survey = {{0, 0},     {1500, 4},  {3600, 11},
                                 {6200, 12}, {9000, 20}, {13000, 24}};
  for (const bool is_surveyed : {false, true}) {
    const Model model = is_surveyed
                            ? gates::modelWith({{"/site/opening_mm", 9000},
                                                {"/gate/panels", 4},
                                                {"/site/track_survey_mm", survey}})
                            : gates::modelWith({{"/site/opening_mm", 9000}, {"/gate/panels", 4}});
    int joints = 0, points = 0;
    for (int panel = 1; panel <= 4; ++panel) {
      double last_x = -1e9;
      for (const SetOutRow& row :
           rowsOf(makeSchedules(model).set_out, "track of panel " + std::to_string(panel))) {
        EXPECT_GE(row.at_mm[0], last_x) << row.point;
        last_x = row.at_mm[0];
        joints += row.point.starts_with("joint") ? 1 : 0;
        ++points;
        const bool lies_there = std::any_of(
            model.instances.begin(), model.instances.end(), [&](const Instance& instance) {
              const Part& part = model.parts[instance.part];
              return part.kind == PartKind::kTrack && part.mark == row.mark &&
                     instance.bounds.low[0] - 0.1 <= last_x &&
                     last_x <= instance.bounds.high[0] + 0.1;
            });
        EXPECT_TRUE(lies_there) << row.mark << " at " << last_x << ", " << row.point;
      }
    }
    EXPECT_GT(joints, 0);
    EXPECT_GT(points, is_surveyed ? 16 : 8);
  }
}

TEST(SetOut, OnLevelGroundThereIsOneDatum) {
  const Model model = gates::modelWith({{"/site/opening_mm", 5600}, {"/gate/panels", 2}});
  const std::vector<SetOutRow> all = makeSchedules(model).set_out;
  EXPECT_EQ(all.front().item, "datum");
  EXPECT_EQ(all.front().at_mm, (std::array<double, 3>{0, 0, 0}));
  EXPECT_TRUE(rowsOf(all, "datum of levels").empty());
  EXPECT_EQ(rowsOf(all, "footing").size(), 4U);
}

}  // namespace
}  // namespace leafstack
