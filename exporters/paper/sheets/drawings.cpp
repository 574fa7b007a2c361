#include "exporters/paper/sheets/drawings.h"

#include <algorithm>
#include <functional>
#include <iterator>

#include "exporters/paper/sheet/table_block.h"
#include "exporters/paper/sheets/gate_sheets.h"
#include "generator/geometry/in_parallel.h"

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

void addLots(SheetMaker& maker, const SheetNames& names, const std::vector<DrawnLot>& lots,
             const TableBlock* table, const char* document_type) {
  LotSheets made = sheetsOfLots(maker.empty(names.name, names.title), lots, table);
  for (LotSheets::One& one : made.sheets) {
    maker.sheets.push_back({std::move(one.sheet), document_type, one.mm_per_mm});
  }
  if (table != nullptr && !made.has_table) {
    addTableSheets(maker, {names.name + "-list", names.title}, *table);
  }
}

namespace {

std::string scaleOf(const MadeSheet& one) {
  return one.mm_per_mm > 0 ? scaleText(one.mm_per_mm) : std::string();
}

/// Every sheet by number, file and scale: the last ones, so that it moves no number.
void addDrawingList(SheetMaker maker) {
  TableBlock table;
  table.title = "Sheets";
  table.heads = {"sheet", "title", "file", "scale"};
  table.is_number = {true, false, false, false};
  table.most_mm = {0, 0, 0, 0};
  int number = 0;
  for (const MadeSheet& one : maker.sheets) {
    table.rows.push_back({std::to_string(++number), one.sheet.title, one.sheet.name, scaleOf(one)});
  }
  addTableSheets(maker, {"drawing-list", "List of drawings"}, table, "list");
}

/// Without title blocks, in the order in which they are numbered; made side by side.
MadeSheets madeSheets(const Model& model, const Schedules& schedules) {
  std::vector<std::function<void(SheetMaker&)>> kinds = {addGeneralArrangement, addOverlapDetail,
                                                         addGuideDetail};
  const std::vector<Assembly> assemblies = assembliesOf(model);
  const auto addAssemblies = [&](int panel) {
    for (const Assembly& one : assemblies) {
      if (one.panel == panel) {
        kinds.emplace_back([&one](SheetMaker& maker) { addAssemblySheet(maker, one); });
      }
    }
  };
  for (int panel = 1; panel <= model.layout.panel_count; ++panel) {
    kinds.emplace_back([panel](SheetMaker& maker) { addFrameSheet(maker, panel); });
    kinds.emplace_back([panel](SheetMaker& maker) { addRailSheet(maker, panel); });
    addAssemblies(panel);
    kinds.emplace_back([panel](SheetMaker& maker) { addExplodedSheet(maker, panel); });
  }
  addAssemblies(0);
  kinds.insert(kinds.end(), {addRopeSheet, addRopeEndsSheet, addTravelSheet, addSetOutSheets,
                             addPostBlocksSheet});
  const GateViews views(model);
  std::vector<MadeSheets> made(kinds.size());
  inParallel(static_cast<int>(kinds.size()), [&](int i) {
    SheetMaker maker{views, schedules, made.at(i)};
    kinds.at(i)(maker);
  });
  MadeSheets all;
  for (MadeSheets& sheets : made) {
    std::move(sheets.begin(), sheets.end(), std::back_inserter(all));
  }
  SheetMaker last{views, schedules, all};
  addPartsSheets(last);
  addDrawingList(last);
  return all;
}

}  // namespace

std::vector<Sheet> gateSheets(const Model& model, const Schedules& schedules,
                              const std::string& status) {
  MadeSheets made = madeSheets(model, schedules);
  std::vector<Sheet> sheets;
  int number = 0;
  for (MadeSheet& one : made) {
    TitleBlock block;
    block.document_type = one.document_type;
    block.scale = scaleOf(one);
    block.number = ++number;
    block.of = static_cast<int>(made.size());
    block.status = status;
    sheets.push_back(std::move(one.sheet));
    addTitleBlock(sheets.back(), model.spec, block);
  }
  return sheets;
}

}  // namespace leafstack
