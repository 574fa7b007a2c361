// Tables and paragraphs on a sheet.
#pragma once

#include <string>
#include <vector>

#include "exporters/paper/sheet/paper.h"

namespace leafstack {

struct TableBlock {
  std::string title;  ///< above; "" for none
  std::vector<std::string> heads;
  std::vector<bool> is_number;  ///< by column: right-aligned
  std::vector<std::vector<std::string>> rows;
  /// Greatest width of a column; longer words go on in a further line. 0: as wide as it takes.
  std::vector<double> most_mm;
};

/// Words broken at blanks to lines no wider than `room_mm`; figures keep their units.
std::vector<std::string> brokenLines(const std::string& words, double height_mm, double room_mm);

/// Rows [from, ...) that fit into `room`, with heads, the upper left corner at the origin. Columns
/// with a greatest width give way where the table is too wide.
struct DrawnTable {
  Sheet sheet;
  PaperBox box;
  std::size_t next_row = 0;  ///< first row that did not fit
};
DrawnTable drawnTable(const TableBlock& table, std::size_t from, const PaperRoom& room);

/// A paragraph, its upper left corner at the origin.
Sheet drawnParagraphs(const std::vector<std::string>& paragraphs, double room_mm);

}  // namespace leafstack
