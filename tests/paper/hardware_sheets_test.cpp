// The shelf's sheets: which length is drawn for which row, and that all of it can be read.
#include <gtest/gtest.h>

#include <map>
#include <set>

#include "exporters/paper/backends/drawing_dxf.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/shelf/hardware_sheets.h"
#include "generator/geometry/numbers.h"
#include "params/read_gate.h"
#include "params/table/hardware_rows.h"
#include "tests/paper/sheet_checks.h"
#include "tests/support/own_shelf.h"

namespace leafstack {
namespace {

constexpr const char* kOwnFile = "yard.json";
constexpr const char* kKindsFile = "kinds.json";

GateSpec specWithSet(const std::string& set, const std::vector<Override>& overrides = {}) {
  HardwareInput input;
  input.chosen = set;
  input.read = [](const std::string& file) {
    return FileText{file == kOwnFile ? gates::kOwnShelf : gates::kOtherKinds, ""};
  };
  const ReadResult read = readGate(
      R"({"site": {"opening_mm": 4000}, "gate": {"panels": 2, "infill": {"kind": "open"}},
          "ropes": {"bracket_clearance_mm": 90}})",
      "gate", overrides, input);
  EXPECT_TRUE(read.gate) << (read.problems.empty() ? "" : toString(read.problems.front()));
  return read.gate.value().spec;
}

struct Drawn {
  GateSpec spec;
  ShelfFigures figures;
  std::vector<Sheet> sheets;
};

Drawn drawnOf(const std::string& set, const std::vector<Override>& overrides = {}) {
  Drawn made{specWithSet(set, overrides), {}, {}};
  made.figures = shelfFigures(made.spec);
  made.sheets = hardwareSheets(made.spec, made.figures);
  return made;
}

std::string complaintsOf(const std::vector<Sheet>& sheets) {
  std::vector<std::string> complaints;
  for (const Sheet& sheet : sheets) {
    sheets::checkWords(sheet, complaints);
    sheets::checkDimensions(sheet, complaints);
    const bool has_views = sheet.name.find("without") == std::string::npos;
    for (const Lettering& one : sheet.letterings) {
      if (has_views && one.text == "none") {
        complaints.push_back(sheet.name + ": no room for its views");
      }
    }
  }
  return sheets::firstOf(complaints);
}

void wordsStandApartAndNumbersAreTrue(const Drawn& drawn) {
  EXPECT_EQ(complaintsOf(drawn.sheets), "");
}

// F1 and F2: every distance is its share of the row, in the solids, and stands on one sheet.
void everyRowThatIsDrawnIsDrawnOnceAndTrue(const Drawn& drawn) {
  std::set<const Parameter*> seen;
  for (const ShelfItem& item : drawn.figures.items) {
    for (const ShelfFigure& figure : item.figures) {
      for (const DrawnSize& size : figure.sizes) {
        EXPECT_TRUE(seen.insert(size.row).second) << size.row->pointer;
        if (size.kind == DrawnSize::Kind::kDistance) {
          EXPECT_NEAR(size.to[size.axis] - size.from[size.axis], size.share * size.value, 1e-4)
              << size.row->pointer;
        }
      }
    }
  }
}

// Of what has one decimal or two in the table the view says no less, and no sheet is so small that
// a size of a millimetre is lost on it: the least scale holds a motor or a rack's piece.
void viewsSayWhatTheTableSays(const Drawn& drawn) {
  constexpr double kLeastScale = 5;  // 1:5
  std::map<std::string, double> values;
  for (const ShelfItem& item : drawn.figures.items) {
    for (const ShelfFigure& figure : item.figures) {
      for (const DrawnSize& size : figure.sizes) {
        values.emplace(shown(size.share * size.value, 3), size.share * size.value);
      }
    }
  }
  for (const Sheet& sheet : drawn.sheets) {
    for (const Dimension& one : sheet.dimensions) {
      EXPECT_LE(one.mm_per_mm, kLeastScale) << sheet.name;
      const std::string text = one.text();
      const std::size_t from = text.find_first_of("0123456789", text.find(" = "));
      EXPECT_TRUE(values.contains(text.substr(from))) << sheet.name << ": " << text;
    }
  }
}

/// The letters of an item's sheets, as its dimensions begin: "A", "B/2", "2 C".
std::multiset<std::string> lettersOn(const std::vector<Sheet>& sheets, const std::string& item) {
  std::multiset<std::string> letters;
  for (const Sheet& sheet : sheets) {
    const std::string name = "hardware-" + item;
    if (sheet.name != name && sheet.name.rfind(name + '-', 0) != 0) {
      continue;
    }
    const auto take = [&](const std::string& text) {
      const std::size_t end = text.find(" = ");
      if (end != std::string::npos) {
        letters.insert(text.substr(0, end));
      }
    };
    for (const Dimension& one : sheet.dimensions) {
      take(one.prefix);
    }
    for (const Lettering& one : sheet.letterings) {
      take(one.text);
    }
  }
  return letters;
}

void everyLetterOfATableStandsOnItsSheetOnce(const Drawn& drawn) {
  for (const ShelfItem& item : drawn.figures.items) {
    std::size_t rows = 0;
    for (const ShelfFigure& figure : item.figures) {
      rows += figure.sizes.size();
    }
    const std::string group(std::string_view(item.group->pointer).substr(10));
    const auto letters = lettersOn(drawn.sheets, group);
    EXPECT_EQ(letters.size(), rows) << group;
    EXPECT_EQ(std::set<std::string>(letters.begin(), letters.end()).size(), rows) << group;
  }
}

// A row that comes to the shelf later has to show up by itself. Kinds of one item exclude each
// other, so a row may be drawn for one of our sets only.
void everyLengthOfTheShelfHasALetterInOneOf(const std::map<std::string, Drawn>& sets) {
  std::map<const Parameter*, std::size_t> without;
  for (const auto& [set, drawn] : sets) {
    for (const Parameter* row : rowsWithoutLetter(drawn.figures)) {
      without[row] += 1;
    }
  }
  std::set<std::string_view> never;
  for (const auto& [row, count] : without) {
    if (count == sets.size() && canBeMeasured(*row)) {
      never.insert(row->pointer);
    }
  }
  EXPECT_EQ(never, std::set<std::string_view>{});
}

// Of the shelf's table every row is either lettered or listed with the reason.
void noRowIsMissing(const Drawn& medium) {
  std::set<std::string> told;
  for (const Sheet& sheet : medium.sheets) {
    for (const Lettering& one : sheet.letterings) {
      told.insert(one.text);
    }
  }
  for (const Parameter& row : hardwareRows()) {
    const std::string pointer = row.pointer;
    if (row.kind != Kind::kGroup && row.kind != Kind::kMotorSet && pointer != "/hardware" &&
        pointer != "/hardware/set") {
      EXPECT_TRUE(told.contains(pointer)) << pointer;
    }
  }
}

const DrawnSize* sizeAt(const Drawn& drawn, std::string_view pointer, const ShelfFigure** in) {
  for (const ShelfItem& item : drawn.figures.items) {
    for (const ShelfFigure& figure : item.figures) {
      for (const DrawnSize& size : figure.sizes) {
        if (pointer == size.row->pointer) {
          *in = &figure;
          return &size;
        }
      }
    }
  }
  return nullptr;
}

struct Place {
  const char* pointer;
  DrawnSize::Kind kind;
  std::set<PartKind> parts;
};

// Read from the rows' meanings, not from what was found: between which parts each stands. Many
// sizes of the medium set are equal: lengths that agree by chance have to be told apart.
void lengthsStandBetweenThePartsThatTheirMeaningNames(const Drawn& medium) {
  using enum PartKind;
  constexpr auto kDistance = DrawnSize::Kind::kDistance;
  constexpr auto kDiameter = DrawnSize::Kind::kDiameter;
  const Place places[] = {
      {"/hardware/wheel/outside_mm", kDiameter, {kWheel}},
      {"/hardware/wheel/running_mm", kDiameter, {kWheel}},
      {"/hardware/wheel/axle_up_mm", kDistance, {kAxle, kWheel, kBottomRail}},
      {"/hardware/wheel/axle_projection_mm", kDistance, {kAxle, kBottomRail}},
      {"/hardware/wheel/inset_mm", kDistance, {kAxle, kWheel, kBottomRail}},
      {"/hardware/track/size_mm", kDiameter, {kTrack}},
      {"/hardware/guide/lip_gap_mm", kDistance, {kGuideChannel, kGuideRail}},
      {"/hardware/guide/block_roof_mm", kDistance, {kGuideBlock, kGuideRail}},
      {"/hardware/pulley/cheek_mm", kDistance, {kPulleyCheek, kPulleyFlange, kPulleyScrew}},
      {"/hardware/pulley/cover_mm", kDistance, {kPulleyCover}},
      {"/hardware/pulley/keeper_gap_mm", kDistance, {kPulleyCover, kPulley}},
      {"/hardware/pulley/pin_screw_mm", kDiameter, {kPulleyScrew}},
      {"/hardware/rack/offset_mm", kDistance, {kRack, kRackStandoff, kBottomRail}},
      {"/hardware/rack/piece_mm", kDistance, {kRack}},
      {"/hardware/motor/pinion_up_mm", kDistance, {kPinion, kMotor, kMotorPacker}},
      {"/hardware/motor/offset_mm", kDistance, {kMotor, kPinion, kBottomRail, kRackStandoff}},
      {"/hardware/stop/catch_reach_mm", kDistance, {kCatchPlate, kBottomRail, kStile, kTopRail}},
      {"/hardware/post/overhead_ear_mm", kDistance, {kBasePlate, kGuideArm}},
      {"/hardware/post/footing_depth_mm", kDistance, {kFooting, kBasePlate}},
  };
  for (const Place& place : places) {
    const ShelfFigure* figure = nullptr;
    const DrawnSize* size = sizeAt(medium, place.pointer, &figure);
    ASSERT_NE(size, nullptr) << place.pointer;
    EXPECT_EQ(size->kind, place.kind) << place.pointer;
    EXPECT_EQ(size->share, 1) << place.pointer;
    for (const int instance : size->parts) {
      const Model& model = *figure->model;
      const Part& part = model.parts[model.instances[instance].part];
      EXPECT_TRUE(place.parts.contains(part.kind)) << place.pointer << " at " << part.name;
    }
  }
}

// Even panels: the second of three. From the underside of that panel's own rail.
void theEvenPanelsRopeIsShownOnAnEvenPanel(const Drawn& medium) {
  const ShelfFigure* figure = nullptr;
  const DrawnSize* size = sizeAt(medium, "/hardware/pulley/high_up_mm", &figure);
  ASSERT_NE(size, nullptr);
  for (const int instance : figure->own) {
    EXPECT_EQ(figure->model->instances[instance].panel, 2);
  }
}

// On the smallest paper and the largest, where there is other room; projections do not matter.
void otherPaperHoldsThemToo(const Drawn& medium) {
  for (const char* paper : {"A4", "A2"}) {
    const GateSpec spec = specWithSet("medium", {{"/drawings/sheet", paper}});
    EXPECT_EQ(complaintsOf(hardwareSheets(spec, medium.figures)), "") << paper;
  }
}

// F3, and one file for what has no pages: all that the pages have, none on another.
void allPagesBelowEachOther(const Drawn& medium) {
  const Sheet all = oneBelowAnother(medium.sheets);
  std::size_t dimensions = 0;
  for (const Sheet& sheet : medium.sheets) {
    dimensions += sheet.dimensions.size();
  }
  EXPECT_EQ(all.dimensions.size(), dimensions);
  const PaperBox box = extentsOf(all);
  EXPECT_GE(box.bottom_mm, 0);
  EXPECT_LE(box.top_mm, all.height_mm);
  EXPECT_EQ(drawingDxf(all),
            drawingDxf(oneBelowAnother(hardwareSheets(medium.spec, medium.figures))));
}

// Drawing a set takes by far the most time: each is drawn once, and looked at for everything.
TEST(HardwareSheets, OurSetsAreDrawnWhole) {
  std::map<std::string, Drawn> sets;
  for (const char* set : {"light", "medium", "heavy", kKindsFile}) {
    SCOPED_TRACE(set);
    const Drawn& drawn = sets.emplace(set, drawnOf(set)).first->second;
    wordsStandApartAndNumbersAreTrue(drawn);
    everyRowThatIsDrawnIsDrawnOnceAndTrue(drawn);
    viewsSayWhatTheTableSays(drawn);
    everyLetterOfATableStandsOnItsSheetOnce(drawn);
  }
  everyLengthOfTheShelfHasALetterInOneOf(sets);
  const Drawn& medium = sets.at("medium");
  noRowIsMissing(medium);
  lengthsStandBetweenThePartsThatTheirMeaningNames(medium);
  theEvenPanelsRopeIsShownOnAnEvenPanel(medium);
  otherPaperHoldsThemToo(medium);
  allPagesBelowEachOther(medium);
}

// With pivoted blocks, too: there the words at the block once stood where the bolt's own lines run,
// and no scale of an A3 sheet held both.
TEST(HardwareSheets, AnotherYardsSetIsDrawnWhole) {
  for (const char* mount : {"bolted", "pivoted"}) {
    SCOPED_TRACE(mount);
    const Drawn drawn =
        drawnOf(kOwnFile, {{"/hardware/guide/block_mount", '"' + std::string(mount) + '"'}});
    wordsStandApartAndNumbersAreTrue(drawn);
    everyRowThatIsDrawnIsDrawnOnceAndTrue(drawn);
    viewsSayWhatTheTableSays(drawn);
    everyLetterOfATableStandsOnItsSheetOnce(drawn);
  }
}

// A shelf that nothing can be built with is told so, not drawn.
TEST(HardwareSheets, WithoutAGateThereAreReasons) {
  const GateSpec spec = specWithSet("medium", {{"/ropes/bracket_clearance_mm", "20"}});
  const ShelfFigures figures = shelfFigures(spec);
  EXPECT_TRUE(figures.items.empty());
  EXPECT_FALSE(figures.problems.empty());
}

// A figure broken off its unit reads as another: "3781 N", then "m at its foot".
TEST(BrokenLines, FiguresKeepTheirUnits) {
  const std::string words =
      "provided the fence's post bears 3781 N m at its foot, and nothing lifts panel 1 by 9.7 mm; "
      "23 holes";
  for (double room = 12; room < 140; room += 1) {
    std::string all;
    for (const std::string& line : brokenLines(words, 2.5, room)) {
      all += (all.empty() ? "" : " ") + line;
      EXPECT_FALSE(line.ends_with("3781") || line.ends_with("3781 N") || line.ends_with("9.7"))
          << room << ": " << line;
    }
    EXPECT_EQ(all, words);
  }
}

}  // namespace
}  // namespace leafstack
