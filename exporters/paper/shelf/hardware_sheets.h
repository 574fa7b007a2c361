// The shelf on paper: every item with a letter at each size that a hardware file holds, and what
// the letters are called there.
#pragma once

#include <vector>

#include "exporters/paper/sheet/sheet.h"
#include "generator/shelf/shelf_figures.h"

namespace leafstack {

/// A page for each figure, with title blocks; rows that no figure shows stand in the item's last
/// table, with the reason.
std::vector<Sheet> hardwareSheets(const GateSpec& spec, const ShelfFigures& figures);

/// All pages below each other as one: for formats that have no pages.
Sheet oneBelowAnother(const std::vector<Sheet>& sheets);

/// Rows of the shelf's table that stand on the sheets without a letter.
std::vector<const Parameter*> rowsWithoutLetter(const ShelfFigures& figures);

}  // namespace leafstack
