#include "exporters/drawing/drawings.h"

#include "exporters/drawing/gate_sheets.h"

namespace leafstack {

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
