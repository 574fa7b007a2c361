// The set-out plan with its levels, and the parts list.
#include <algorithm>
#include <cmath>

#include "exporters/paper/blocks/arrange.h"
#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kTablesApartMm = 8;

/// Fills sheets with a table's rows, in as many columns side by side as there is room for.
void addTablePages(SheetMaker& maker, const TableBlock& table, const std::string& name,
                   const std::string& title) {
  std::size_t row = 0;
  for (int page = 1; row < table.rows.size() || page == 1; ++page) {
    const std::string suffix = page > 1 ? "-" + std::to_string(page) : std::string();
    MadeSheet made{maker.empty(name + suffix, title), "list"};
    const PaperBox space = drawingSpace(made.sheet).above;
    double left = space.left_mm;
    do {
      const DrawnTable drawn = drawnTable(table, row, {space.widthMm(), space.heightMm()});
      if (left > space.left_mm && left + drawn.box.widthMm() > space.right_mm) {
        break;
      }
      addMoved(made.sheet, drawn.sheet, {left, space.top_mm});
      left += drawn.box.widthMm() + kTablesApartMm;
      row = drawn.next_row;
    } while (row < table.rows.size());
    maker.sheets.push_back(std::move(made));
  }
}

TableBlock setOutTable(const std::vector<SetOutRow>& rows) {
  TableBlock table;
  table.heads = {"no.", "item", "mark", "point", "X", "Y", "Z (level)", "note"};
  table.is_number = {true, false, false, false, true, true, true, false};
  table.most_mm = {0, 40, 0, 70, 0, 0, 0, 110};
  int number = 0;
  for (const SetOutRow& row : rows) {
    table.rows.push_back({std::to_string(++number), row.item, row.mark, row.point,
                          shown(row.at_mm[0], 1), shown(row.at_mm[1], 1), shown(row.at_mm[2], 1),
                          row.note});
  }
  return table;
}

/// What is there before the gate is: ground work, posts, and what stands on them.
bool isSiteWork(const Instance& instance) {
  return instance.panel == 0;
}

/// The blocks under the posts lie in the ground.
void addBlocks(ViewBlock& plan, const GateViews& views, const StructureReport& structure) {
  for (const StructurePost& post : structure.posts) {
    if (!post.block) {
      continue;
    }
    std::vector<PathVertex> loop;
    for (const auto& [along, across] :
         {std::pair{-0.5, -0.5}, std::pair{0.5, -0.5}, std::pair{0.5, 0.5}, std::pair{-0.5, 0.5}}) {
      const Vec3 on =
          seen(plan.view(), views.at(post.block->middle_x_mm + along * post.block->along_mm,
                                     post.block->middle_y_mm + across * post.block->across_mm, 0));
      loop.push_back({on[0], on[1]});
    }
    plan.curve(LineRole::kHidden, std::move(loop), true);
  }
}

ViewBlock setOutPlan(const GateViews& views, const Schedules& schedules) {
  const std::vector<SetOutRow>& rows = schedules.set_out;
  ViewBlock block("Set-out plan", fromAbove());
  const Scene scene = sceneOf(views, 0, [&](const Instance& one) {
    const PartKind kind = views.partOf(one).kind;
    return isSiteWork(one) && kind != PartKind::kGuideBlock && kind != PartKind::kGuideJaws &&
           kind != PartKind::kPivotBolt && kind != PartKind::kTerminal;
  });
  block.curves(projected(scene.solids, block.view()), [&](const ViewCurve& curve) {
    const Instance& one = views.model().instances[scene.instances[curve.solid]];
    return rowOf(views.partOf(one).kind).is_main ? LineRole::kVisible : LineRole::kFine;
  });
  addBlocks(block, views, schedules.loads.structure);
  LabelRequest labels{Side::kAbove, {}};
  const Vec3 datum = views.at(0, 0, 0);
  RunningRequest along{Side::kBelow, datum, {}, minus(views.at(1, 0, 0), datum)};
  RunningRequest across{views.model().opening_sign > 0 ? Side::kLeft : Side::kRight,
                        datum,
                        {},
                        minus(views.at(0, 1, 0), datum)};
  std::vector<double> xs, ys;
  const auto once = [](std::vector<double>& told, double value) {
    const bool is_new = std::none_of(told.begin(), told.end(), [&](double other) {
      return std::abs(other - value) < 0.05;  // as printed
    });
    if (is_new) {
      told.push_back(value);
    }
    return is_new;
  };
  int number = 0;
  for (const SetOutRow& row : rows) {
    const Vec3 at = views.at(row.at_mm[0], row.at_mm[1], row.at_mm[2]);
    labels.labels.push_back({at, std::to_string(++number)});
    if (once(xs, row.at_mm[0])) {
      along.features.push_back(at);
    }
    if (once(ys, row.at_mm[1])) {
      across.features.push_back(at);
    }
  }
  block.running(std::move(along));
  block.running(std::move(across));
  block.labels(std::move(labels));
  return block;
}

/// As it is cut or bought.
double lengthOf(const Schedules& schedules, const PartRow& part) {
  const auto bought = std::find_if(schedules.bill.begin(), schedules.bill.end(),
                                   [&](const BillRow& row) { return row.mark == part.mark; });
  return bought == schedules.bill.end() ? part.length_mm : bought->length_mm;
}

TableBlock partsTable(const Schedules& schedules) {
  TableBlock table;
  table.heads = {"mark",   "qty",    "name", "panels", "material", "section or size",
                 "length", "kg each"};
  table.is_number = {false, true, false, false, false, false, true, true};
  table.most_mm = {0, 0, 45, 0, 0, 62, 0, 0};
  for (const PartRow& row : schedules.parts) {
    std::string panels;
    for (const auto& [panel, quantity] : row.per_panel) {
      panels += panels.empty() ? "" : ", ";
      panels += panel == 0 ? std::string("site") : std::to_string(panel);
    }
    std::string section = row.section;
    for (const std::string& words : {row.words.item, row.words.supplier, row.words.finish}) {
      section += words.empty() ? "" : (section.empty() ? "" : "; ") + words;
    }
    table.rows.push_back({row.mark, std::to_string(row.quantity), row.name, panels, row.material,
                          section, shown(lengthOf(schedules, row), 1),
                          row.mass_kg > 0 ? shown(row.mass_kg, 3) : std::string("-")});
  }
  return table;
}

}  // namespace

void addSetOutSheets(SheetMaker& maker) {
  const std::vector<SetOutRow>& rows = maker.schedules.set_out;
  MadeSheet made{maker.empty("set-out-plan", "Set-out plan"), "set-out plan"};
  const ViewBlock plan = setOutPlan(maker.views, maker.schedules);
  const bool is_left = maker.model().opening_sign < 0;
  std::vector<std::string> notes = {
      "Positions run from the latch-side post face along the track, and from the back of the fence "
      "line towards the property. Levels from the driveway on the front track at the latch-side "
      "post. Numbers are those of the list. Blocks of concrete under the posts are in dashes.",
      "Check the opening, the levels and underground services on site before digging."};
  if (is_left) {
    notes.insert(notes.begin(), "This gate opens to the left: X runs to the left.");
  }
  const PaperBox space =
      addLowerLeft(made.sheet, drawnParagraphs(notes, drawingSpace(made.sheet).beside.widthMm()));
  // The list stands on the same sheet where it leaves the plan its scale.
  const TableBlock list = setOutTable(rows);
  const DrawnTable drawn =
      drawnTable(list, 0, {space.widthMm(), std::numeric_limits<double>::infinity()});
  PaperBox over_list = space;
  over_list.bottom_mm += drawn.box.heightMm() + kTablesApartMm / 2;
  Sheet together = made.sheet;
  const std::optional<double> alone = addGrid(made.sheet, space, {{{&plan}}});
  const bool fits =
      over_list.heightMm() > 0 && alone && addGrid(together, over_list, {{{&plan}}}) == alone;
  if (fits) {
    made.sheet = std::move(together);
    addMoved(made.sheet, drawn.sheet, {space.left_mm, space.bottom_mm + drawn.box.heightMm()});
  }
  made.mm_per_mm = alone.value_or(0);
  maker.sheets.push_back(std::move(made));
  if (!fits) {
    addTablePages(maker, list, "set-out-list", "Set-out list with levels");
  }
}

void addPartsSheets(SheetMaker& maker) {
  addTablePages(maker, partsTable(maker.schedules), "parts-list", "Parts list");
}

}  // namespace leafstack
