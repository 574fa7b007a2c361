// The calculation sheet: every load figure with its formula, the numbers put into it, and its
// source, in an order that can be checked line by line. Rows for exporters to format.
#pragma once

#include <string>
#include <vector>

#include "generator/loads/checks/sheet_line.h"
#include "generator/loads/loads.h"

namespace leafstack {

struct SheetSection {
  std::string title;
  std::string note;  ///< assumptions, in a sentence or two; may be ""
  std::vector<SheetLine> lines;
};

/// `model` must be the one the report was made from.
std::vector<SheetSection> calculationSheet(const Model& model, const LoadReport& report);

}  // namespace leafstack
