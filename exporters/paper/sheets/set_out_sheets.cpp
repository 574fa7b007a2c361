// The set-out plan with its levels: all of it, its places at 1:10, and larger where points stand
// close.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/set_out/set_out_views.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"
#include "generator/layout/ground/ground.h"
#include "generator/layout/ground/site_extents.h"
#include "generator/layout/ground/survey.h"

namespace leafstack {
namespace {

constexpr double kListApartMm = 8;

TableBlock setOutTable(const std::vector<SetOutRow>& rows) {
  TableBlock table;
  table.heads = {"no.", "item", "mark", "point", "X", "Y", "Z (level)", "note"};
  table.is_number = {true, false, false, false, true, true, true, false};
  table.most_mm = {0, 40, 0, 70, 0, 0, 0, 110};
  int number = 0;
  for (const SetOutRow& row : rows) {
    table.rows.push_back({std::to_string(++number), row.item, row.mark, row.point,
                          lengthText(row.at_mm[0]), lengthText(row.at_mm[1]),
                          shown(row.at_mm[2], 0), row.note});
  }
  return table;
}

/// Where the bank is dug out.
std::string pocketWords(const SheetMaker& maker) {
  const Layout& layout = maker.layout();
  const PocketLayout& pocket = layout.ground.pockets.front();
  return "Dash and two dots: the pocket in the bank, X " + lengthText(layout.opening_mm) + " to " +
         lengthText(layout.opening_mm + pocket.room_mm) + ", Y 0 to " +
         lengthText(pocket.width_mm) + ".";
}

/// What the concreter has to know, and what is not designed here.
std::vector<std::string> notesOf(const SheetMaker& maker) {
  const GateSpec& spec = maker.model().spec;
  const FootingExtent slab = footingExtent(spec, maker.layout());
  std::string words = "Slab " + shown(slab.to_x_mm - slab.from_x_mm, 0) + " x " +
                      shown(slab.to_y_mm - slab.from_y_mm, 0) + ", " +
                      shown(spec.hardware.post.footing_depth_mm, 0) + " deep";
  if (maker.layout().ground.is_surveyed) {
    words += ", its top as surveyed: levels in the list";
  } else if (spec.site.grade != 0 || spec.site.cross_grade != 0) {
    words += ", cast as one with a fall: its top ";
    words += spec.site.grade < 0 ? "falls" : "rises";
    words += " " + shown(100 * std::abs(spec.site.grade), 2) + " % in the opening direction";
    if (spec.site.cross_grade != 0) {
      words += spec.site.cross_grade < 0 ? ", falls " : ", rises ";
      words += shown(100 * std::abs(spec.site.cross_grade), 2) +
               " % towards the property (levels are those under each track)";
    }
  }
  words += ". Its steel, and that of the blocks, is by others.";
  const std::string& cable = spec.hardware.motor.cable;
  std::vector<std::string> notes = {
      "X runs from the latch-side post face along the track, measured level; Y from the back of "
      "the fence line "
      "towards the property, levels from the driveway on the front track at the latch-side post. "
      "Numbers above the details are those of the list.",
      words,
      "Not drawn, to be settled before casting: the motor's conduit (" +
          (cable.empty() ? std::string("its end within the motor's base; see the maker's sheet")
                         : cable) +
          "), and where water leaves the slab and runs past the tracks.",
      "Check the opening, the levels and underground services on site before digging."};
  if (spec.site.bank > 0 && !maker.layout().ground.pockets.empty()) {
    notes.insert(notes.begin() + 2, pocketWords(maker));
  }
  return notes;
}

}  // namespace

namespace {

/// Places in the order in which the plan has them, then what stands close together in them.
void addDetails(SheetMaker& maker, const SetOutViews& views) {
  constexpr double kPlaceScale = 5, kClusterScale = 2;
  std::vector<DrawnLot> lots;
  const auto add = [&](const SetOutPlace& one, const ViewBlock& block, double scale) {
    const std::string letter(1, one.letter);
    lots.push_back({needed(drawnForSheet(maker.empty("", ""), {{{&block}}}, scale),
                           "set-out detail " + letter),
                    letter});
  };
  for (const SetOutPlace& one : views.places()) {
    add(one, views.placeView(one), kPlaceScale);
  }
  if (maker.model().opening_sign < 0) {
    std::reverse(lots.begin(), lots.end());
  }
  for (const SetOutPlace& one : views.clusters()) {
    add(one, views.clusterView(one), kClusterScale);
  }
  if (!lots.empty()) {
    addLots(maker, {"set-out-details", "Set-out"}, lots, nullptr, "set-out plan");
  }
}

}  // namespace

void addSetOutSheets(SheetMaker& maker) {
  const std::vector<SetOutRow>& rows = maker.schedules.set_out;
  MadeSheet made{maker.empty("set-out-plan", "Set-out plan"), "set-out plan"};
  const SetOutViews views(maker.views, maker.schedules);
  const ViewBlock plan = views.plan();
  const ViewBlock side = views.side();
  const bool is_left = maker.model().opening_sign < 0;
  std::vector<std::string> notes = notesOf(maker);
  if (is_left) {
    notes.insert(notes.begin(), "This gate opens to the left: X runs to the left.");
  }
  const MadeSheet bare = made;
  const PaperBox space =
      addLowerLeft(made.sheet, drawnParagraphs(notes, drawingSpace(made.sheet).beside.widthMm()));
  // The list stands on the same sheet where it leaves the plan its scale.
  const TableBlock list = setOutTable(rows);
  const DrawnTable drawn =
      drawnTable(list, 0, {space.widthMm(), std::numeric_limits<double>::infinity()});
  PaperBox over_list = space;
  over_list.bottom_mm += drawn.box.heightMm() + kListApartMm / 2;
  Sheet together = made.sheet;
  const ViewGrid both{{{&plan}, {&side}}};
  const std::optional<double> alone = addGrid(made.sheet, space, both);
  const bool fits =
      over_list.heightMm() > 0 && alone && addGrid(together, over_list, both) == alone;
  if (fits) {
    made.sheet = std::move(together);
    addMoved(made.sheet, drawn.sheet, {space.left_mm, space.bottom_mm + drawn.box.heightMm()});
  }
  made.mm_per_mm = alone.value_or(0);
  if (!alone) {  // a small sheet: the plan by itself, levels with the words
    MadeSheet levels{maker.empty("set-out-levels", "Set-out, levels"), "set-out plan"};
    const PaperBox over = addLowerLeft(
        levels.sheet, drawnParagraphs(notes, drawingSpace(bare.sheet).above.widthMm()));
    levels.mm_per_mm = addNeeded(levels.sheet, over, {{{&side}}});
    made = bare;
    made.mm_per_mm = addNeeded(made.sheet, drawingSpace(made.sheet).above, {{{&plan}}});
    maker.sheets.push_back(std::move(made));
    maker.sheets.push_back(std::move(levels));
  } else {
    maker.sheets.push_back(std::move(made));
  }
  addDetails(maker, views);
  if (!fits) {
    addTableSheets(maker, {"set-out-list", "Set-out list with levels"}, list, "list");
  }
}

}  // namespace leafstack
