// Welds and tables by themselves, where a sheet has no room for them beside all else; the parts
// list.
#include <algorithm>

#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kTablesApartMm = 8;

ViewBlock withSigns(const ViewBlock& bare, const std::vector<WeldGroup>& groups) {
  ViewBlock block = bare;
  LabelRequest above{Side::kAbove, {}};
  LabelRequest below{Side::kBelow, {}};
  const double middle = (block.bounds().bottom_mm + block.bounds().top_mm) / 2;
  for (const WeldGroup& group : groups) {
    const bool is_low = seen(block.view(), group.at)[1] < middle;
    (is_low ? below : above).labels.push_back({group.at, "", group.signs});
  }
  block.labels(std::move(above));
  block.labels(std::move(below));
  return block;
}

/// Halves what has no room on one sheet.
void addAll(SheetMaker& maker, const SheetNames& names, const ViewBlock& bare,
            const std::vector<WeldGroup>& groups, int& number) {
  const ViewBlock block = withSigns(bare, groups);
  const std::string suffix = number > 0 ? "-" + std::to_string(number + 1) : "";
  MadeSheet made{maker.empty(names.name + suffix, names.title), "workshop drawing"};
  made.mm_per_mm = addGrid(made.sheet, drawingSpace(made.sheet).above, {{{&block}}}).value_or(0);
  if (made.mm_per_mm == 0 && groups.size() > 1) {
    const auto half = groups.begin() + static_cast<std::ptrdiff_t>(groups.size() / 2);
    addAll(maker, names, bare, {groups.begin(), half}, number);
    addAll(maker, names, bare, {half, groups.end()}, number);
    return;
  }
  ++number;
  maker.sheets.push_back(std::move(made));
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

void addWeldSheets(SheetMaker& maker, const SheetNames& names, const ViewBlock& bare,
                   const std::vector<WeldGroup>& groups) {
  if (!groups.empty()) {
    int number = 0;
    addAll(maker, names, bare, groups, number);
  }
}

void addTableSheets(SheetMaker& maker, const SheetNames& names, const TableBlock& table,
                    const char* document_type) {
  std::size_t row = 0;
  for (int page = 1; row < table.rows.size() || page == 1; ++page) {
    const std::string suffix = page > 1 ? "-" + std::to_string(page) : std::string();
    MadeSheet made{maker.empty(names.name + suffix, names.title), document_type};
    const PaperBox space = drawingSpace(made.sheet).above;
    double left = space.left_mm;
    do {
      const DrawnTable drawn = drawnTable(table, row, {space.widthMm(), space.heightMm()});
      if (left > space.left_mm && left + drawn.box.widthMm() > space.right_mm) {
        break;
      }
      addMoved(made.sheet, drawn.sheet, {left, space.top_mm});
      left += drawn.box.widthMm() + kTablesApartMm;
      row = std::max(drawn.next_row, row + 1);  // a row higher than the sheet is cut off
    } while (row < table.rows.size());
    maker.sheets.push_back(std::move(made));
  }
}

void addPartsSheets(SheetMaker& maker) {
  addTableSheets(maker, {"parts-list", "Parts list"}, partsTable(maker.schedules), "list");
}

}  // namespace leafstack
