// Drawing sheets of whole gates: properties S1 to S4 of sheet.h, and the figures on them by hand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <regex>
#include <set>

#include "exporters/paper/backends/drawing_dxf.h"
#include "exporters/paper/blocks/annotator.h"
#include "exporters/paper/blocks/view_block.h"
#include "exporters/paper/sheet/paper.h"
#include "exporters/paper/sheets/drawings.h"
#include "generator/geometry/numbers.h"
#include "generator/geometry/triangles.h"
#include "generator/model/wall_holes.h"
#include "tests/paper/sheet_checks.h"
#include "tests/support/built_gates.h"
#include "tests/support/dice.h"
#include "tests/support/rounds.h"

namespace leafstack {
namespace {

using gates::Json;
using sheets::checkDimensions;
using sheets::checkWords;
using sheets::firstOf;

/// A sheet of views says its scale; without one they did not fit and were left out.
void checkScale(const Sheet& sheet, std::vector<std::string>& complaints) {
  const bool has_views =
      sheet.name.find("list") == std::string::npos && sheet.name != "travel-diagram";
  const auto head = std::find_if(sheet.letterings.begin(), sheet.letterings.end(),
                                 [](const Lettering& one) { return one.text == "scale"; });
  ASSERT_NE(head, sheet.letterings.end()) << sheet.name;
  constexpr double kSameFieldMm = 8;
  for (const Lettering& one : sheet.letterings) {
    const bool is_scale = std::abs(one.at.x_mm - head->at.x_mm) < kSameFieldMm &&
                          std::abs(one.at.y_mm - head->at.y_mm) < kSameFieldMm;
    if (has_views && is_scale && one.text == "none") {
      complaints.push_back(sheet.name + ": no room for its views");
    }
  }
}

/// The section was left out if its title is not there.
void checkSection(const std::vector<Sheet>& sheets, std::vector<std::string>& complaints) {
  const auto has_section = [](const Sheet& sheet) {
    return std::any_of(sheet.letterings.begin(), sheet.letterings.end(),
                       [](const Lettering& one) { return one.text.rfind("Section A-A", 0) == 0; });
  };
  if (std::none_of(sheets.begin(), sheets.end(), has_section)) {
    complaints.push_back("no section");
  }
}

/// A random gate on random ground, on any sheet.
Json gateOnGround(int seed) {
  Json file = gates::GateDice(static_cast<unsigned>(seed)).gate();
  constexpr double kGrades[] = {0, 0, 0.06, -0.09};
  constexpr const char* kTops[] = {"raked", "raked", "level", "stepped"};
  const int round = seed / 4;
  file["site"]["grade"] = kGrades[seed % 4];
  file["gate"]["top"] = kTops[round % 4];
  if (seed % 4 == 0 && round % 5 == 1) {
    file["site"].erase("grade");
    file["site"]["track_survey_mm"] = {{-500, 0}, {4000, 60}, {9000, -40}, {20000, 0}};
  }
  constexpr const char* kSheets[] = {"A3", "A3", "A2", "A4"};
  file["drawings"]["sheet"] = kSheets[round % 4];
  file["drawings"]["projection"] = seed % 3 == 0 ? "third" : "first";
  if (round % 2 == 0) {
    file["job"] = {
        {"title", "A gate with a title long enough to have to be drawn smaller than all"},
        {"number", "Q-1234567890-1234567890"},
        {"client", "A client of many words, and of more words still, at the old mill"}};
  }
  return file;
}

Schedules withWelds(const Model& model) {
  Schedules schedules = makeSchedules(model);
  findWelds(model, schedules);
  return schedules;
}

const int kGatesDrawn = gates::rounds(24, 60);

TEST(DrawingSheets, OfRandomGatesKeepWordsApartAndNumbersTrue) {
  int drawn_gates = 0;
  std::size_t dimensions = 0;
  for (int seed = 1; drawn_gates < kGatesDrawn && seed < 200; ++seed) {
    const Json file = gateOnGround(seed);
    const GateSpec spec = gates::specOf(file);
    const LayoutResult result = layOut(spec);
    if (!result.problems.empty()) {
      continue;
    }
    const Model model = buildModel(spec, result.layout);
    std::vector<std::string> complaints;
    const std::vector<Sheet> sheets = gateSheets(model, withWelds(model));
    checkSection(sheets, complaints);
    for (const Sheet& sheet : sheets) {
      checkWords(sheet, complaints);
      checkDimensions(sheet, complaints);
      checkScale(sheet, complaints);
      dimensions += sheet.dimensions.size();
    }
    EXPECT_TRUE(complaints.empty()) << complaints.size() << " in seed " << seed << ":\n"
                                    << firstOf(complaints) << file.dump();
    ++drawn_gates;
  }
  EXPECT_EQ(drawn_gates, kGatesDrawn);
  EXPECT_GT(dimensions, 100U * static_cast<unsigned>(kGatesDrawn));
}

/// Every dimension of the sheets whose name begins so, as "prefix number suffix".
std::multiset<std::string> dimensionsOn(const std::vector<Sheet>& sheets, const std::string& name) {
  std::multiset<std::string> texts;
  for (const Sheet& sheet : sheets) {
    if (sheet.name.rfind(name, 0) == 0) {
      for (const Dimension& one : sheet.dimensions) {
        texts.insert(one.text());
      }
    }
  }
  return texts;
}

class TwoPanelDrawings : public testing::Test {
 protected:
  static const std::vector<Sheet>& sheets() {
    static const std::vector<Sheet> made = [] {
      const Model model = gates::modelWith(
          {{"/site/opening_mm", 5600}, {"/gate/height_mm", 1600}, {"/gate/panels", 2}});
      return gateSheets(model, makeSchedules(model));
    }();
    return made;
  }
};

// By hand, for two flush panels with the default hardware: overlap 80, so the front panel is
// 5600 / 2 + 80 = 2880 long and the clear travel of the drive is 2800; height 1600, 50 of it under
// the rail.
TEST_F(TwoPanelDrawings, GeneralArrangementByHand) {
  const auto texts = dimensionsOn(sheets(), "general-arrangement");
  for (const char* text : {"opening 5600", "overlap 80", "panel 2: 2880", "50", "1550", "1600"}) {
    EXPECT_GE(texts.count(text), 1U) << text;
  }
}

// The stack across the track by hand: frame 50, guide rail 32, lip gap 9, channel 40, so 81 from
// frame to frame. Channel 100 high and 80 wide, block 60, 2 below the top.
TEST_F(TwoPanelDrawings, StackByHand) {
  const auto above = dimensionsOn(sheets(), "overlap-detail");
  for (const char* text :
       {"frame 50", "rail 32", "clear 9", "channel 40", "gap 81", "channel 80"}) {
    EXPECT_EQ(above.count(text), 2U) << text;  // post guide and panel guide
  }
  const auto along = dimensionsOn(sheets(), "guide-detail");
  for (const char* text :
       {"frame 50", "clear 9", "channel 40", "gap 81", "channel 100", "block 60", "down 2"}) {
    EXPECT_EQ(along.count(text), 2U) << text;
  }
  EXPECT_EQ(along.count("rail 32"), 4U) << "both legs of the angle";
}

TEST_F(TwoPanelDrawings, SheetsAreNamedAndCounted) {
  std::set<std::string> names;
  for (const Sheet& sheet : sheets()) {
    EXPECT_TRUE(names.insert(sheet.name).second) << sheet.name;
    const std::string last = std::to_string(names.size()) + " / " + std::to_string(sheets().size());
    EXPECT_TRUE(std::any_of(sheet.letterings.begin(), sheet.letterings.end(),
                            [&](const Lettering& one) { return one.text == last; }))
        << sheet.name;
  }
  for (const char* name :
       {"general-arrangement", "overlap-detail", "guide-detail", "frame-panel-1", "frame-panel-2",
        "bottom-rail-panel-1", "bottom-rail-panel-2", "rope-diagram", "rope-ends", "travel-diagram",
        "set-out-plan", "post-blocks", "parts-list"}) {
    EXPECT_EQ(names.count(name), 1U) << name;
  }
}

// A block is a rectangle in the plan, and in its section stands between the places that the set-out
// gives: sizes from the gate file, 800 along, 700 across and 1000 deep, the slab 200.
TEST(Drawings, BlocksUnderThePostsStandInPlanAndSection) {
  const Model model = gates::modelWith({{"/site/opening_mm", 5600},
                                        {"/gate/panels", 2},
                                        {"/footing/block_along_mm", 800},
                                        {"/footing/block_across_mm", 700},
                                        {"/footing/block_depth_mm", 1000}});
  const std::vector<Sheet> sheets = gateSheets(model, makeSchedules(model));
  const auto sheet = [&](const char* name) {
    return *std::find_if(sheets.begin(), sheets.end(),
                         [&](const Sheet& one) { return one.name == name; });
  };
  const auto texts = dimensionsOn(sheets, "post-blocks");
  EXPECT_EQ(texts.count("block 1000"), 2U);
  EXPECT_EQ(texts.count("slab 200"), 2U);
  // Half of 700 to either side of the middle, counted from the fence's back, as the
  // set-out counts: what reaches out in front of it has a minus.
  const auto set_out = makeSchedules(model).set_out;
  const auto middle = std::find_if(set_out.begin(), set_out.end(), [](const SetOutRow& row) {
    return row.item == "guide post" && row.point == "middle of the block under it";
  });
  ASSERT_NE(middle, set_out.end());
  for (const double off : {-350.0, 350.0}) {
    EXPECT_GE(texts.count(shown(middle->at_mm[1] + off, 1)), 1U) << off;
  }
  const Sheet plan = sheet("set-out-plan");
  const double scale = plan.dimensions.front().mm_per_mm;
  int blocks = 0;
  for (const Path& path : plan.paths) {
    Sheet alone;
    alone.paths = {path};
    const PaperBox box = extentsOf(alone);
    blocks += path.role == LineRole::kHidden && std::abs(box.widthMm() * scale - 800) < 1e-6 &&
                      std::abs(box.heightMm() * scale - 700) < 1e-6
                  ? 1
                  : 0;
  }
  EXPECT_EQ(blocks, 2);
}

// By hand: legs of 55, 56 apart (frame 50 and a gap of 3 on either side), the last 15 of both bent
// open by half of that, so 71 at the mouth and atan 0.5 = 26.6 degrees.
TEST_F(TwoPanelDrawings, AReceiverIsToldByItsFolds) {
  std::multiset<std::string> texts;
  for (const Sheet& sheet : sheets()) {
    if (sheet.name.rfind("catch-post", 0) == 0) {
      texts.merge(dimensionsOn({sheet}, sheet.name));
      for (const Lettering& words : sheet.letterings) {
        texts.insert(words.text);
      }
    }
  }
  for (const char* text : {"leg 55", "inside 56", "mouth 71", "open 15", "bent open by 26.6 deg"}) {
    EXPECT_EQ(texts.count(text), 1U) << text;
  }
}

// What a rope is set to stands beside what it takes in work: half of the greater of its panel's
// two, in whole tens (the tensioning steps' own rule).
TEST_F(TwoPanelDrawings, RopesAreToldWhatToSet) {
  const auto sheet = std::find_if(sheets().begin(), sheets().end(),
                                  [](const Sheet& one) { return one.name == "rope-diagram"; });
  ASSERT_NE(sheet, sheets().end());
  std::multiset<std::string> words;
  for (const Lettering& one : sheet->letterings) {
    words.insert(one.text);
  }
  const auto ropes = std::count_if(words.begin(), words.end(), [](const std::string& word) {
    return std::regex_match(word, std::regex("[1-9][0-9]*0 / [0-9]+"));
  });
  EXPECT_EQ(words.count("N set / in work"), 1U);
  EXPECT_EQ(ropes, 2);
}

// Pieces and kg by material and by panel come to those of all.
TEST_F(TwoPanelDrawings, TotalsOfThePartsListAddUp) {
  double all_kg = 0, of_it_kg = 0;
  int all = 0, of_it = 0;
  for (const Sheet& sheet : sheets()) {
    if (sheet.name.rfind("parts-list", 0) != 0) {
      continue;
    }
    for (const Lettering& head : sheet.letterings) {
      if (head.text != "all" && head.text != "of it") {
        continue;
      }
      // Of its row: the number beside it, and the kg at the far right of its column.
      std::vector<const Lettering*> row;
      for (const Lettering& one : sheet.letterings) {
        constexpr double kColumnMm = 198;
        if (one.at.y_mm == head.at.y_mm && one.at.x_mm > head.at.x_mm &&
            one.at.x_mm < head.at.x_mm + kColumnMm) {
          row.push_back(&one);
        }
      }
      std::sort(row.begin(), row.end(),
                [](const Lettering* a, const Lettering* b) { return a->at.x_mm < b->at.x_mm; });
      ASSERT_GE(row.size(), 3U);
      (head.text == "all" ? all : of_it) += std::stoi(row.front()->text);
      (head.text == "all" ? all_kg : of_it_kg) += std::stod(row.back()->text);
    }
  }
  EXPECT_GT(all, 100);
  EXPECT_GT(all_kg, 100);
  // Once by material, but for what has no mass told, once by panel; each rounded to 0.1.
  EXPECT_LE(of_it, 2 * all);
  EXPECT_GE(of_it, 2 * all - 10);
  EXPECT_NEAR(of_it_kg, 2 * all_kg, 1);
}

TEST(PaperBoxes, LinesCrossThem) {
  const PaperBox box = {0, 0, 10, 4};
  EXPECT_TRUE(crosses({{-1, 2}, {11, 2}}, box));
  EXPECT_TRUE(crosses({{5, 1}, {6, 2}}, box)) << "wholly inside";
  EXPECT_FALSE(crosses({{-1, 0}, {11, 0}}, box)) << "along an edge";
  EXPECT_FALSE(crosses({{-1, 3}, {2, 6}}, box)) << "past a corner";
  EXPECT_FALSE(crosses({{12, -1}, {12, 5}}, box));
}

}  // namespace
}  // namespace leafstack
