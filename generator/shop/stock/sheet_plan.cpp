#include "generator/shop/stock/sheet_plan.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <tuple>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr long kMostOnSheets = 100'000;

/// A row of a sheet, as high as the first piece in it.
struct SheetRow {
  std::size_t sheet = 0;
  double y_mm = 0, high_mm = 0, next_x_mm = 0;
};

void refuseSheets(const std::vector<SheetPiece>& pieces, const SheetRules& rules) {
  const auto is_size = [](double mm) { return std::isfinite(mm) && mm > 0; };
  bool good = is_size(rules.length_mm) && is_size(rules.width_mm) && std::isfinite(rules.gap_mm) &&
              rules.gap_mm >= 0;
  long count = 0;
  for (const SheetPiece& piece : pieces) {
    good = good && is_size(piece.length_mm) && is_size(piece.width_mm) && piece.quantity >= 1;
    count += piece.quantity;
  }
  if (!good || count > kMostOnSheets) {
    throw std::invalid_argument("sheet plan: sizes out of range");
  }
}

class SheetLaying {
 public:
  explicit SheetLaying(const SheetRules& rules) : rules_(rules) {}

  /// Its longer side along the sheet where that fits.
  bool orient(SheetCut& cut, double length, double width) const {
    for (const bool along : {length >= width, length < width}) {
      cut.along_mm = along ? length : width;
      cut.across_mm = along ? width : length;
      cut.is_turned = !along;
      if (cut.along_mm + 2 * rules_.gap_mm <= rules_.length_mm + kLengthEqualMm &&
          cut.across_mm + 2 * rules_.gap_mm <= rules_.width_mm + kLengthEqualMm) {
        return true;
      }
    }
    return false;
  }

  void lay(SheetCut cut) {
    const double gap = rules_.gap_mm;
    auto row = std::find_if(rows_.begin(), rows_.end(), [&](const SheetRow& one) {
      return cut.across_mm <= one.high_mm + kLengthEqualMm &&
             one.next_x_mm + cut.along_mm + gap <= rules_.length_mm + kLengthEqualMm;
    });
    if (row == rows_.end()) {
      row = rows_.insert(rows_.end(), newRow(cut.across_mm));
    }
    cut.x_mm = row->next_x_mm;
    cut.y_mm = row->y_mm;
    row->next_x_mm += cut.along_mm + gap;
    sheets_[row->sheet].push_back(std::move(cut));
  }

  std::vector<std::vector<SheetCut>> sheets() && { return std::move(sheets_); }

 private:
  /// On the first sheet with room above its rows, else on a new one.
  SheetRow newRow(double high_mm) {
    const double gap = rules_.gap_mm;
    std::size_t sheet = 0;
    while (sheet < next_y_mm_.size() &&
           next_y_mm_[sheet] + high_mm + gap > rules_.width_mm + kLengthEqualMm) {
      ++sheet;
    }
    if (sheet == next_y_mm_.size()) {
      next_y_mm_.push_back(gap);
      sheets_.emplace_back();
    }
    const SheetRow row{sheet, next_y_mm_[sheet], high_mm, gap};
    next_y_mm_[sheet] += high_mm + gap;
    return row;
  }

  SheetRules rules_;
  std::vector<SheetRow> rows_;
  std::vector<double> next_y_mm_;  ///< by sheet
  std::vector<std::vector<SheetCut>> sheets_;
};

}  // namespace

SheetPlan planSheets(const std::vector<SheetPiece>& pieces, const SheetRules& rules) {
  refuseSheets(pieces, rules);
  SheetPlan plan;
  SheetLaying laying(rules);
  std::vector<SheetCut> cuts;
  double with_gaps = 0;
  for (const SheetPiece& piece : pieces) {
    SheetCut cut;
    cut.mark = piece.mark;
    if (!laying.orient(cut, piece.length_mm, piece.width_mm)) {
      plan.too_large.push_back(piece);
      continue;
    }
    cuts.insert(cuts.end(), piece.quantity, cut);
    plan.needed_mm2 += piece.quantity * piece.length_mm * piece.width_mm;
    with_gaps +=
        piece.quantity * (piece.length_mm + rules.gap_mm) * (piece.width_mm + rules.gap_mm);
  }
  std::stable_sort(cuts.begin(), cuts.end(), [](const SheetCut& one, const SheetCut& other) {
    return std::tie(one.across_mm, one.along_mm) > std::tie(other.across_mm, other.along_mm);
  });
  for (SheetCut& cut : cuts) {
    laying.lay(std::move(cut));
  }
  plan.sheets = std::move(laying).sheets();
  // Each piece takes a gap on two of its sides, and so does the sheet.
  const double sheet = (rules.length_mm - rules.gap_mm) * (rules.width_mm - rules.gap_mm);
  plan.least_sheets =
      sheet > 0 ? static_cast<int>(std::ceil(with_gaps / sheet - kLengthEqualMm)) : 0;
  return plan;
}

}  // namespace leafstack
