// A panel taken apart along its own axes, seen obliquely, with an item number at each part (ISO
// 6433, from memory), their list, and in which order they go together.
#pragma once

#include <string>
#include <vector>

#include "exporters/paper/blocks/gate_views.h"
#include "exporters/paper/sheet/table_block.h"
#include "generator/shop/welds/weld_rows.h"

namespace leafstack {

struct ExplodedPanel {
  ViewBlock view;
  TableBlock items;                ///< item, mark, number, name; in the order of assembly
  std::vector<std::string> steps;  ///< "1. Weld ...: items 1 to 4."
};

/// What is welded comes before what is bolted or put in.
ExplodedPanel explodedPanel(const GateViews& views, const std::vector<WeldRow>& welds, int panel);

}  // namespace leafstack
