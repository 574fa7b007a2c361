// What is lifted as one, and the tracks' pieces, against the model and hand arithmetic.
#include "generator/shop/packing/packing.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string>

#include "generator/clash/report/clash.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/shop/schedules.h"
#include "tests/support/built_gates.h"
#include "tests/support/report_text.h"

namespace leafstack {
namespace {

using gates::modelWith;

const PackingRow& rowNamed(const std::vector<PackingRow>& rows, const std::string& what) {
  for (const PackingRow& row : rows) {
    if (row.what == what) {
      return row;
    }
  }
  throw std::invalid_argument(what);
}

// SHS 80x80x4 is 9.22 kg/m (row R4: 11.7 cm2).
TEST(Packing, APostWeighsWhatItsTableSaysAndHangsInItsMiddle) {
  const Model model = modelWith({});
  const std::vector<PackingRow> rows = packingRows(model);
  const PackingRow& post = rowNamed(rows, "guide post");
  EXPECT_NEAR(post.mass_kg, 9.22 * post.height_mm / 1000, 0.01 * post.mass_kg);
  EXPECT_NEAR(post.length_mm, 80, 0.01);
  EXPECT_NEAR(post.centre_mm[0], 40, 0.1);
  EXPECT_NEAR(post.centre_mm[2], post.height_mm / 2, 1);
  EXPECT_EQ(post.pieces, 1);
}

TEST(Packing, PanelsWeighWhatTheyCarryOnEitherHand) {
  const std::vector<PackingRow> right = packingRows(modelWith({{"/gate/panels", 3}}));
  const Model left_model = modelWith({{"/gate/panels", 3}, {"/site/opens", "left"}});
  const std::vector<PackingRow> left = packingRows(left_model);
  ASSERT_EQ(right.size(), left.size());
  for (std::size_t i = 0; i < right.size(); ++i) {
    EXPECT_EQ(right[i].what, left[i].what);
    EXPECT_NEAR(right[i].mass_kg, left[i].mass_kg, 1e-6);
    for (int axis = 0; axis < 3; ++axis) {
      EXPECT_NEAR(right[i].centre_mm[axis], left[i].centre_mm[axis], 1e-3) << right[i].what;
    }
  }
  // Ropes, their ends and floating blocks are put in on site: the panel weighs somewhat less
  // than the loads count.
  const Schedules schedules = makeSchedules(left_model);
  for (int panel = 1; panel <= 3; ++panel) {
    const PackingRow& row = rowNamed(left, "panel " + std::to_string(panel));
    EXPECT_LE(row.mass_kg, schedules.panel_mass_kg[panel - 1] + 1e-9);
    EXPECT_GT(row.mass_kg, 0.97 * schedules.panel_mass_kg[panel - 1]);
    EXPECT_GT(row.length_mm, left_model.layout.panel(panel).length_mm - 1e-6);
    EXPECT_GT(row.centre_mm[0], 0.3 * row.length_mm);
    EXPECT_LT(row.centre_mm[0], 0.7 * row.length_mm);
  }
}

/// Of a gate whose longest bar gives 2990: 3000 less 10 of trim.
Model withShortBars() {
  return modelWith({{"/shop/stock_lengths_mm", gates::Json::array({3000})},
                    {"/gate/panels", 3},
                    {"/site/opening_mm", 5400}});
}

TEST(TrackPieces, AreAsFewEqualOnesAsTheLongestBarAllows) {
  const Model model = withShortBars();
  const Schedules schedules = makeSchedules(model);
  double on_all_mm = 0;
  int pieces = 0;
  for (int panel = 1; panel <= 3; ++panel) {
    const TrackEnds whole = trackEnds(model.spec, model.layout, panel);
    const auto of_panel = trackPieces(model.spec, model.layout, panel);
    EXPECT_EQ(of_panel.size(), std::ceil(whole.length_mm / 2990));
    for (std::size_t i = 0; i < of_panel.size(); ++i) {
      EXPECT_NEAR(of_panel[i].length_mm, whole.length_mm / static_cast<double>(of_panel.size()),
                  1e-6);
      EXPECT_NEAR(of_panel[i].from_x_mm, i == 0 ? whole.from_x_mm : of_panel[i - 1].to_x_mm, 1e-6);
    }
    on_all_mm += whole.length_mm;
    pieces += static_cast<int>(of_panel.size());
  }
  double cut_mm = 0;
  int cut = 0, joints = 0, welds = 0;
  for (const CutRow& row : schedules.cut_list) {
    if (row.name == "track bar") {
      cut_mm += row.length_mm * row.quantity;
      cut += row.quantity;
      EXPECT_LE(row.length_mm, 2990);
    }
  }
  for (const SetOutRow& row : schedules.set_out) {
    joints += row.point.starts_with("joint ") ? 1 : 0;
  }
  for (const WeldRow& row : weldRows(model)) {
    if (row.what.find("track's pieces") != std::string::npos) {
      EXPECT_TRUE(row.is_on_site);
      EXPECT_EQ(row.kind, WeldKind::kButt);
      EXPECT_NEAR(row.length_mm, std::numbers::pi * 20, 0.3);  // round a bar of 20
      welds += row.joints;
    }
  }
  EXPECT_EQ(cut, pieces);
  EXPECT_NEAR(cut_mm, on_all_mm, 1e-6);
  EXPECT_EQ(joints, pieces - 3);
  EXPECT_EQ(welds, pieces - 3);
}

// Wheels pass from piece to piece; a piece that is 5 lower than the rest loses them.
TEST(TrackPieces, AreProvedToCarryTheirWheelsInTurns) {
  Model model = withShortBars();
  const ClashReport sound = checkClashes(model);
  EXPECT_EQ(sound.verdict, Verdict::kClear);
  int track = -1;
  for (int i = 0; i < static_cast<int>(model.instances.size()); ++i) {
    const bool is_track = model.parts[model.instances[i].part].kind == PartKind::kTrack;
    track = is_track && track < 0 ? i : track;
  }
  shift(model, track, {0, 0, -5});
  const ClashReport broken = checkClashes(model);
  EXPECT_NE(broken.verdict, Verdict::kClear);
}

}  // namespace
}  // namespace leafstack
