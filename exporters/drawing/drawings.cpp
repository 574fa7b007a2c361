#include "exporters/drawing/drawings.h"

#include <algorithm>

#include "exporters/drawing/gate_sheets.h"
#include "exporters/drawing/table_block.h"

namespace leafstack {

PaperBox addLowerLeft(Sheet& sheet, const Sheet& block) {
  constexpr double kApartMm = 2;
  const DrawingSpace space = drawingSpace(sheet);
  const PaperBox box = extentsOf(block);
  PaperBox left_over = space.above;
  if (box.isEmpty()) {
    return left_over;
  }
  const bool is_beside = box.right_mm <= space.beside.widthMm();
  const double bottom = is_beside ? space.beside.bottom_mm : space.above.bottom_mm;
  addMoved(sheet, block, {space.beside.left_mm, bottom - box.bottom_mm});
  left_over.bottom_mm = std::max(left_over.bottom_mm, bottom + box.heightMm() + kApartMm);
  return left_over;
}

void addAboveTable(MadeSheet& made, const ViewGrid& grid, const TableBlock& table,
                   double largest_scale) {
  const PaperBox above = drawingSpace(made.sheet).above;
  const DrawnTable drawn = drawnTable(table, 0, {above.widthMm(), above.heightMm()});
  const PaperBox box = addLowerLeft(made.sheet, drawn.sheet);
  made.mm_per_mm = addGrid(made.sheet, box, grid, largest_scale).value_or(0);
}

std::vector<Sheet> gateSheets(const Model& model, const Schedules& schedules) {
  const GateViews views(model);
  MadeSheets made;
  SheetMaker maker{views, schedules, made};
  addGeneralArrangement(maker);
  addOverlapDetail(maker);
  addGuideDetail(maker);
  for (int panel = 1; panel <= model.layout.panel_count; ++panel) {
    addFrameSheet(maker, panel);
    addRailSheet(maker, panel);
  }
  addRopeSheet(maker);
  addTravelSheet(maker);
  addSetOutSheets(maker);
  addPartsSheets(maker);
  std::vector<Sheet> sheets;
  int number = 0;
  for (MadeSheet& one : made) {
    TitleBlock block;
    block.document_type = one.document_type;
    block.scale = one.mm_per_mm > 0 ? scaleText(one.mm_per_mm) : std::string();
    block.number = ++number;
    block.of = static_cast<int>(made.size());
    addTitleBlock(one.sheet, model.spec, block);
    sheets.push_back(std::move(one.sheet));
  }
  return sheets;
}

}  // namespace leafstack
