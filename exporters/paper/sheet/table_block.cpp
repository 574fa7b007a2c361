#include "exporters/paper/sheet/table_block.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <string_view>

namespace leafstack {
namespace {

constexpr double kTextMm = 2.5, kLineMm = 4.2, kCellPadMm = 1.4, kTitleMm = 3.5, kTitleRoomMm = 7;
constexpr double kTitleFreeMm = 100;  // a title may be as long over a narrow table
constexpr double kHeadTextMm = 2.5;
constexpr double kParagraphApartMm = 1.2;

struct Row {
  std::vector<std::vector<std::string>> cells;  ///< lines of each
  double heightMm() const {
    std::size_t lines = 1;
    for (const auto& cell : cells) {
      lines = std::max(lines, cell.size());
    }
    return static_cast<double>(lines) * kLineMm + 2 * kCellPadMm - (kLineMm - kTextMm);
  }
};

class Writer {
 public:
  Writer(const TableBlock& table, double room_mm) : table_(table) {
    for (std::size_t c = 0; c < table.heads.size(); ++c) {
      double widest = textWidthMm(table.heads[c], kHeadTextMm, true);
      for (const auto& row : table.rows) {
        widest = std::max(widest, textWidthMm(row.at(c), kTextMm));
      }
      const double most = c < table.most_mm.size() ? table.most_mm[c] : 0;
      if (most > 0) {
        widest = std::min(widest, std::max(most, textWidthMm(table.heads[c], kHeadTextMm, true)));
      }
      widths_.push_back(std::ceil(widest + 2 * kCellPadMm));
      total_ += widths_.back();
    }
    narrow(room_mm);
  }

  DrawnTable write(std::size_t from, double height_mm) {
    addTitle();
    start_ = top_;
    addRow(rowOf(table_.heads), true);
    std::size_t at = from;
    for (; at < table_.rows.size(); ++at) {
      const Row row = rowOf(table_.rows[at]);
      // One row always goes, so that the work ends.
      if (at > from && -top_ + row.heightMm() > height_mm) {
        break;
      }
      addRow(row, false);
    }
    made_.next_row = at;
    addUprights();
    made_.box = extentsOf(made_.sheet);
    return std::move(made_);
  }

 private:
  /// Takes from the widest column that may be broken, step by step.
  void narrow(double room_mm) {
    constexpr double kStepMm = 1, kLeastMm = 18;
    while (total_ > room_mm) {
      std::size_t widest = widths_.size();
      for (std::size_t c = 0; c < std::min(widths_.size(), table_.most_mm.size()); ++c) {
        if (table_.most_mm[c] > 0 && widths_[c] > kLeastMm &&
            (widest == widths_.size() || widths_[c] > widths_[widest])) {
          widest = c;
        }
      }
      if (widest == widths_.size()) {
        return;
      }
      widths_[widest] -= kStepMm;
      total_ -= kStepMm;
    }
  }

  /// One wider than the table goes on in further lines, smaller.
  void addTitle() {
    if (table_.title.empty()) {
      return;
    }
    if (textWidthMm(table_.title, kTitleMm, true) <= std::max(total_, kTitleFreeMm)) {
      made_.sheet.letterings.push_back(
          {table_.title, {0, -kTitleMm}, kTitleMm, TextAnchor::kLeft, 0, true});
      top_ -= kTitleRoomMm;
      return;
    }
    for (const std::string& line :
         brokenLines(table_.title, kTextMm, std::max(total_, kTitleFreeMm))) {
      made_.sheet.letterings.push_back({line, {0, top_ - kTextMm}, kTextMm});
      top_ -= kLineMm;
    }
  }

  Row rowOf(const std::vector<std::string>& words) const {
    Row row;
    for (std::size_t c = 0; c < words.size(); ++c) {
      row.cells.push_back(brokenLines(words[c], kTextMm, widths_[c] - 2 * kCellPadMm + 0.01));
    }
    return row;
  }

  void addRow(const Row& row, bool is_head) {
    double left = 0;
    for (std::size_t c = 0; c < row.cells.size(); ++c) {
      const bool right = !is_head && c < table_.is_number.size() && table_.is_number[c];
      double base = top_ - kCellPadMm - kTextMm;
      for (const std::string& words : row.cells[c]) {
        if (!words.empty()) {
          made_.sheet.letterings.push_back(
              {words,
               {right ? left + widths_[c] - kCellPadMm : left + kCellPadMm, base},
               kTextMm,
               right ? TextAnchor::kRight : TextAnchor::kLeft,
               0,
               is_head});
        }
        base -= kLineMm;
      }
      left += widths_[c];
    }
    rule(top_, is_head ? LineRole::kVisible : LineRole::kTable);
    top_ -= row.heightMm();
    if (is_head) {
      rule(top_, LineRole::kVisible);
    }
  }

  void rule(double y, LineRole role) {
    made_.sheet.paths.push_back({role, {{0, y}, {total_, y}}, false});
  }

  void addUprights() {
    rule(top_, LineRole::kVisible);
    double x = 0;
    for (std::size_t c = 0; c <= widths_.size(); ++c) {
      made_.sheet.paths.push_back({LineRole::kTable, {{x, start_}, {x, top_}}, false});
      x += c < widths_.size() ? widths_[c] : 0;
    }
  }

  const TableBlock& table_;
  std::vector<double> widths_;
  double total_ = 0, top_ = 0, start_ = 0;
  DrawnTable made_;
};

/// Where the word that begins at `at` ends: a figure's unit goes with it, "3781 N m".
std::size_t endOfWord(const std::string& words, std::size_t at) {
  constexpr std::array<std::string_view, 9> kUnits = {"mm", "m",   "N",  "kN",     "kg",
                                                      "%",  "kPa", "Hz", "degrees"};
  std::size_t end = std::min(words.find(' ', at), words.size());
  bool is_figure = at < end && std::isdigit(static_cast<unsigned char>(words[at])) != 0;
  while (is_figure && end < words.size()) {
    const std::size_t next = std::min(words.find(' ', end + 1), words.size());
    std::string_view unit = std::string_view(words).substr(end + 1, next - end - 1);
    while (!unit.empty() && std::string_view(",;.)").find(unit.back()) != std::string_view::npos) {
      unit.remove_suffix(1);
    }
    is_figure = std::find(kUnits.begin(), kUnits.end(), unit) != kUnits.end();
    end = is_figure ? next : end;
  }
  return end;
}

}  // namespace

std::vector<std::string> brokenLines(const std::string& words, double height_mm, double room_mm) {
  std::vector<std::string> lines;
  std::string line;
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t end = endOfWord(words, at);
    const std::string word = words.substr(at, end - at);
    std::string longer = line;
    longer += line.empty() ? "" : " ";
    longer += word;
    if (!line.empty() && textWidthMm(longer, height_mm) > room_mm) {
      lines.push_back(line);
      line = word;
    } else {
      line = longer;
    }
    at = end + 1;
  }
  lines.push_back(line);
  return lines;
}

DrawnTable drawnTable(const TableBlock& table, std::size_t from, const PaperRoom& room) {
  return Writer(table, room.width_mm).write(from, room.height_mm);
}

Sheet drawnParagraphs(const std::vector<std::string>& paragraphs, double room_mm) {
  Sheet sheet;
  double base = -kTextMm;
  for (const std::string& paragraph : paragraphs) {
    for (const std::string& line : brokenLines(paragraph, kTextMm, room_mm)) {
      if (!line.empty()) {
        sheet.letterings.push_back({line, {0, base}, kTextMm});
      }
      base -= kLineMm;
    }
    base -= kParagraphApartMm;
  }
  return sheet;
}

}  // namespace leafstack
