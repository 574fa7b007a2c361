// The calculation sheet: every load figure with its formula, the numbers put into it, and its
// source, in an order that can be checked line by line. Rows for exporters to format.
#pragma once

#include <string>
#include <vector>

#include "generator/loads/loads.h"

namespace leafstack {

struct SheetLine {
  std::string what;
  std::string formula;  ///< with the numbers put in; "" for an input
  std::string value;    ///< with its unit
  std::string source;   ///< row ids, or "" where the line is plain arithmetic
};

struct SheetSection {
  std::string title;
  std::string note;  ///< assumptions, in a sentence or two; may be ""
  std::vector<SheetLine> lines;
};

/// `model` must be the one the report was made from.
std::vector<SheetSection> calculationSheet(const Model& model, const LoadReport& report);

}  // namespace leafstack
