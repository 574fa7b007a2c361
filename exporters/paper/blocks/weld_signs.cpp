#include "exporters/paper/blocks/weld_signs.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

// Lettering of 2.5; symbols as high as capitals (ISO 2553 leaves sizes to ISO 3098's, from memory).
constexpr double kHighMm = 2.5;
constexpr double kSymbolMm = 2.5;  // its width
constexpr double kGapMm = 0.6;     // between words and symbol, and over the line
constexpr double kDashesMm = 0.9;  // of the identification line under the reference line
constexpr double kForkMm = 1.6;    // of the tail
constexpr double kPitchMm = 5.4;   // from one reference line to the next
constexpr double kFlagMm = 4;      // of a site weld's mast

double wordsMm(const std::string& words) {
  return words.empty() ? 0 : textWidthMm(words, kHighMm) + kGapMm;
}
double lineMm(const WeldSign& sign) {
  return kGapMm + wordsMm(sign.size) + kSymbolMm + kGapMm + wordsMm(sign.length);
}
double wholeMm(const WeldSign& sign) {
  return lineMm(sign) + kForkMm + kGapMm + wordsMm(sign.tail);
}

void addLine(Sheet& sheet, const PaperPoint& a, const PaperPoint& b) {
  sheet.paths.push_back({LineRole::kDimension, {{a.x_mm, a.y_mm}, {b.x_mm, b.y_mm}}, false});
}

void addSymbol(Sheet& sheet, const WeldSign& sign, const PaperPoint& foot) {
  const double top = foot.y_mm + kSymbolMm;
  if (sign.is_fillet) {
    sheet.paths.push_back(
        {LineRole::kDimension,
         {{foot.x_mm, foot.y_mm}, {foot.x_mm, top}, {foot.x_mm + kSymbolMm, foot.y_mm}},
         true});
    return;
  }
  for (const double share : {0.3, 0.7}) {
    const double x = foot.x_mm + share * kSymbolMm;
    addLine(sheet, {x, foot.y_mm}, {x, top});
  }
}

void addSign(Sheet& sheet, const WeldSign& sign, const PaperPoint& at) {
  const double end = at.x_mm + lineMm(sign);
  addLine(sheet, at, {end, at.y_mm});
  // The other side's line, with nothing on it: dashes of its own, for it is shorter than patterns.
  constexpr double kDashMm = 1.5;
  for (double x = at.x_mm; x + kDashMm <= end; x += 2 * kDashMm) {
    addLine(sheet, {x, at.y_mm - kDashesMm}, {x + kDashMm, at.y_mm - kDashesMm});
  }
  const double base = at.y_mm + kGapMm;
  double x = at.x_mm + kGapMm;
  sheet.letterings.push_back({sign.size, {x, base}, kHighMm});
  x += wordsMm(sign.size);
  addSymbol(sheet, sign, {x, at.y_mm});
  x += kSymbolMm + kGapMm;
  if (!sign.length.empty()) {
    sheet.letterings.push_back({sign.length, {x, base}, kHighMm});
  }
  addLine(sheet, {end, at.y_mm}, {end + kForkMm, at.y_mm + kForkMm});
  addLine(sheet, {end, at.y_mm}, {end + kForkMm, at.y_mm - kForkMm});
  sheet.letterings.push_back({sign.tail, {end + kForkMm + kGapMm, at.y_mm - kHighMm / 2}, kHighMm});
  if (sign.is_on_site) {
    addLine(sheet, at, {at.x_mm, at.y_mm + kFlagMm});
    sheet.areas.push_back({{{{at.x_mm, at.y_mm + kFlagMm},
                             {at.x_mm - kFlagMm / 2, at.y_mm + kFlagMm * 3 / 4},
                             {at.x_mm, at.y_mm + kFlagMm / 2}}},
                           0});
  }
}

/// The first line's own way from where the arrow ends: what hangs under it, and below a view the
/// words over it, keep off what other leaders do there.
double firstMm(double outward) {
  return outward > 0 ? kForkMm + kGapMm : kHighMm + 2 * kGapMm;
}

}  // namespace

double signsWidthMm(const std::vector<WeldSign>& signs) {
  double width = 0;
  for (const WeldSign& sign : signs) {
    width = std::max(width, wholeMm(sign));
  }
  return width;
}

PaperBox signsBox(const std::vector<WeldSign>& signs, const PaperPoint& at, double outward) {
  const double far = firstMm(outward) + (static_cast<double>(signs.size()) - 1) * kPitchMm;
  const double from = at.y_mm + outward * firstMm(outward);
  const double to = at.y_mm + outward * far;
  return {at.x_mm - kFlagMm / 2, std::min(from, to) - kForkMm, at.x_mm + signsWidthMm(signs),
          std::max(from, to) + kGapMm + kHighMm * 1.25};
}

void addSigns(Sheet& sheet, const std::vector<WeldSign>& signs, const PaperPoint& at,
              double outward) {
  double off = firstMm(outward);
  PaperPoint last = at;
  for (const WeldSign& sign : signs) {
    const PaperPoint line{at.x_mm, at.y_mm + outward * off};
    if (line.y_mm != last.y_mm) {
      addLine(sheet, last, line);
    }
    addSign(sheet, sign, line);
    last = line;
    off += kPitchMm;
  }
}

void addArrowHead(Sheet& sheet, const PaperPoint& tip, const PaperPoint& from) {
  constexpr double kLongMm = 2.5;
  constexpr double kHalfMm = 0.35;
  const double length = std::hypot(from.x_mm - tip.x_mm, from.y_mm - tip.y_mm);
  if (length < kLongMm) {
    return;
  }
  const double x = (from.x_mm - tip.x_mm) / length;
  const double y = (from.y_mm - tip.y_mm) / length;
  sheet.areas.push_back(
      {{{{tip.x_mm, tip.y_mm},
         {tip.x_mm + kLongMm * x - kHalfMm * y, tip.y_mm + kLongMm * y + kHalfMm * x},
         {tip.x_mm + kLongMm * x + kHalfMm * y, tip.y_mm + kLongMm * y - kHalfMm * x}}},
       0});
}

}  // namespace leafstack
