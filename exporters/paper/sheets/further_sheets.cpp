// Welds and tables by themselves, where a sheet has no room for them beside all else.
#include <algorithm>

#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"

namespace leafstack {
namespace {

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

}  // namespace

void addWeldSheets(SheetMaker& maker, const SheetNames& names, const ViewBlock& bare,
                   const std::vector<WeldGroup>& groups) {
  if (!groups.empty()) {
    int number = 0;
    addAll(maker, names, bare, groups, number);
  }
}

void addTableSheets(SheetMaker& maker, const SheetNames& names, const TableBlock& table) {
  std::size_t next = 0;
  for (int page = 1; next < table.rows.size(); ++page) {
    const std::string suffix = page > 1 ? "-list-" + std::to_string(page) : std::string("-list");
    MadeSheet list{maker.empty(names.name + suffix, names.title), "workshop drawing"};
    const PaperBox above = drawingSpace(list.sheet).above;
    const DrawnTable drawn = drawnTable(table, next, {above.widthMm(), above.heightMm()});
    addMoved(list.sheet, drawn.sheet, {above.left_mm, above.top_mm});
    next = std::max(drawn.next_row, next + 1);  // a row higher than the sheet is cut off
    maker.sheets.push_back(std::move(list));
  }
}

}  // namespace leafstack
