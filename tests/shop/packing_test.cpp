// What is lifted as one, and the tracks' pieces, against the model and hand arithmetic.
#include "generator/shop/packing/packing.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numbers>
#include <sstream>
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

// SHS 80x80x4 is 9.22 kg/m (row R4: 11.7 cm2); its plate 7850 kg/m3.
TEST(Packing, APostWeighsWhatItsTableSaysWithItsPlate) {
  const Model model = modelWith({});
  const Schedules schedules = makeSchedules(model);
  const std::vector<PackingRow> rows = packingRows(model);
  const PackingRow& post = rowNamed(rows, "guide post");
  double tube_kg = 0, rest_kg = 0, tube_mm = 0;
  for (const CutRow& row : schedules.cut_list) {
    if (row.name == "guide post") {
      tube_mm = row.length_mm;
      tube_kg = 9.22 * row.length_mm / 1000;
    } else if (post.marks.find(row.mark) != std::string::npos) {
      rest_kg += row.mass_kg * row.quantity;
    }
  }
  EXPECT_GT(rest_kg, 0.5) << "no plate in " << post.marks;
  EXPECT_NEAR(post.mass_kg, tube_kg + rest_kg, 0.01 * post.mass_kg);
  EXPECT_GT(post.height_mm, tube_mm);
  EXPECT_EQ(post.pieces, 1);
}

/// Words of a row's marks.
std::vector<std::string> marksOf(const PackingRow& row) {
  std::istringstream words(row.marks);
  return {std::istream_iterator<std::string>(words), {}};
}

// What the weld list joins in the shop travels as one piece, as heavy as the cut list has its
// parts.
TEST(Packing, WhatIsWeldedInTheShopIsOnePiece) {
  for (const char* mount : {"post", "overhead", "reach-over"}) {
    SCOPED_TRACE(mount);
    const Model model =
        modelWith({{"/gate/panels", 2}, {"/guides/mount", mount}, {"/site/grade", -0.04}});
    Schedules schedules = makeSchedules(model);
    findWelds(model, schedules);
    std::map<std::string, std::vector<const PackingRow*>> rows_of;
    const std::vector<PackingRow> rows = packingRows(model);
    for (const PackingRow& row : rows) {
      for (const std::string& mark : marksOf(row)) {
        rows_of[mark].push_back(&row);
      }
    }
    for (const WeldRow& weld : schedules.welds) {
      if (weld.panel == 0 && !weld.is_on_site && weld.a != weld.b &&
          (rows_of.contains(weld.a) || rows_of.contains(weld.b))) {
        bool are_together = false;
        for (const PackingRow* row : rows_of[weld.a]) {
          const std::vector<const PackingRow*>& others = rows_of[weld.b];
          are_together = are_together || std::count(others.begin(), others.end(), row) > 0;
        }
        EXPECT_TRUE(are_together) << weld.a << " and " << weld.b;
      }
    }
    int whole = 0;
    for (const PackingRow& row : rows) {
      double kg = 0;
      bool is_whole = !row.marks.empty();  // all of its parts are in it alone
      for (const std::string& mark : marksOf(row)) {
        for (const CutRow& cut : schedules.cut_list) {
          is_whole = is_whole && rows_of[mark].size() == 1 &&
                     (cut.mark != mark || cut.panels.find("panel") == std::string::npos);
          kg += cut.mark == mark ? cut.mass_kg * cut.quantity : 0;
        }
      }
      if (is_whole) {
        EXPECT_NEAR(row.mass_kg * row.pieces, kg, 1e-6) << row.marks;
        ++whole;
      }
    }
    EXPECT_GE(whole, 1);
  }
}

// A bar on a slope of 8 % is as long as it is cut, not as its shadow, and as deep as it is thick.
TEST(Packing, BarsOnASlopeHaveTheirOwnLength) {
  for (const char* opens : {"right", "left"}) {
    const Model model =
        modelWith({{"/gate/panels", 2}, {"/site/grade", -0.08}, {"/site/opens", opens}});
    const Schedules schedules = makeSchedules(model);
    int tracks = 0;
    for (const PackingRow& row : packingRows(model)) {
      for (const CutRow& cut : schedules.cut_list) {
        if (cut.name == "track bar" && row.marks.substr(0, row.marks.find(' ')) == cut.mark) {
          EXPECT_NEAR(row.length_mm, cut.length_mm, 3) << row.marks;
          EXPECT_NEAR(row.depth_mm, 20, 0.1);
          EXPECT_LT(row.height_mm, 150);
          ++tracks;
        }
      }
    }
    EXPECT_EQ(tracks, 2);
  }
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

// An overhead bracket goes with the four anchors that hold its plate and the screws of its channel.
TEST(Packing, AnOverheadBracketGoesWithItsAnchors) {
  const Model model = modelWith({{"/guides/mount", "overhead"}});
  const std::vector<PackingRow> rows = packingRows(model);
  const auto row = std::find_if(rows.begin(), rows.end(), [](const PackingRow& one) {
    return one.marks.find("GA1") != std::string::npos;
  });
  ASSERT_NE(row, rows.end());
  int anchors = 0, screws = 0;
  for (const Fastening& one : model.fastenings) {
    anchors += one.what == "the anchor holds the overhead bracket" ? 1 : 0;
    screws += one.what == "the guide channel is fixed to its post" ? 1 : 0;
  }
  EXPECT_EQ(anchors, 4);
  EXPECT_NE(row->loose.find("4 AN"), std::string::npos) << row->loose;
  EXPECT_NE(row->loose.find("4 WA"), std::string::npos) << row->loose;
  EXPECT_NE(row->loose.find("4 NU"), std::string::npos) << row->loose;
  EXPECT_NE(row->loose.find(std::to_string(screws) + " SC"), std::string::npos) << row->loose;
}

}  // namespace
}  // namespace leafstack
