#include "exporters/paper/blocks/weld_signs.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace leafstack {
namespace {

// Lettering of 2.5; symbols as high as capitals (ISO 2553 leaves sizes to ISO 3098's, from memory).
constexpr double kHighMm = 2.5;
constexpr double kSymbolMm = 2.5;  // its width
constexpr double kGapMm = 0.6;     // between words and symbol, and over the line
constexpr double kDashesMm = 0.9;  // of the identification line under the reference line
constexpr double kForkMm = 1.6;    // of the tail
constexpr double kPitchMm = 5.4;   // from one reference line to the next
constexpr double kBelowMm = 2.4;   // more of it, under a line with words below
constexpr double kRoundMm = 1.2;   // radius of an all-round circle
constexpr double kFlagMm = 4;      // of a site weld's mast

double wordsMm(const std::string& words) {
  return words.empty() ? 0 : textWidthMm(words, kHighMm) + kGapMm;
}
/// What a circle takes comes before the words.
double startMm(const WeldSign& sign) {
  return kGapMm + (sign.is_all_round ? kRoundMm : 0);
}
double lineMm(const WeldSign& sign) {
  return startMm(sign) + wordsMm(sign.size) + kSymbolMm + kGapMm + wordsMm(sign.length);
}
double wholeMm(const WeldSign& sign) {
  return lineMm(sign) + kForkMm + kGapMm + wordsMm(sign.tail) +
         (sign.where.empty() ? 0 : kGapMm + wordsMm(sign.where));
}

void addLine(Sheet& sheet, const PaperPoint& a, const PaperPoint& b) {
  sheet.paths.push_back({LineRole::kDimension, {{a.x_mm, a.y_mm}, {b.x_mm, b.y_mm}}, false});
}

/// `up` is -1 for the other side's, which hangs under the line.
void addSymbol(Sheet& sheet, const WeldSign& sign, const PaperPoint& foot, double up) {
  const auto at = [&](double right, double high) {
    return PaperPoint{foot.x_mm + right * kSymbolMm, foot.y_mm + up * high * kSymbolMm};
  };
  const auto line = [&](const PaperPoint& from, const PaperPoint& to) { addLine(sheet, from, to); };
  switch (sign.symbol) {
    case WeldSymbol::kFillet: {
      const PaperPoint top = at(0, 1), right = at(1, 0);
      sheet.paths.push_back(
          {LineRole::kDimension,
           {{foot.x_mm, foot.y_mm}, {top.x_mm, top.y_mm}, {right.x_mm, right.y_mm}},
           true});
      return;
    }
    case WeldSymbol::kSquare:
      line(at(0.3, 0), at(0.3, 1));
      line(at(0.7, 0), at(0.7, 1));
      return;
    case WeldSymbol::kBevel:
      line(at(0.2, 0), at(0.2, 1));
      line(at(0.2, 0), at(0.9, 1));
      return;
    case WeldSymbol::kV:
      line(at(0.5, 0), at(0, 1));
      line(at(0.5, 0), at(1, 1));
      return;
    case WeldSymbol::kFlare: {
      line(at(0.2, 0), at(0.2, 1));
      constexpr int kChords = 6;
      for (int i = 0; i < kChords; ++i) {  // a quarter of a circle from the foot upwards
        const auto on = [&](int k) {
          const double turn = std::numbers::pi / 2 * k / kChords;
          return at(0.2 + 0.75 * (1 - std::cos(turn)), std::sin(turn));
        };
        line(on(i), on(i + 1));
      }
      return;
    }
  }
}

void addSign(Sheet& sheet, const WeldSign& sign, const PaperPoint& at) {
  const double end = at.x_mm + lineMm(sign);
  addLine(sheet, at, {end, at.y_mm});
  if (!sign.is_both_sides) {
    // The other side's line, with nothing on it: dashes of its own, for it is shorter than
    // patterns.
    constexpr double kDashMm = 1.5;
    for (double x = at.x_mm; x + kDashMm <= end; x += 2 * kDashMm) {
      addLine(sheet, {x, at.y_mm - kDashesMm}, {x + kDashMm, at.y_mm - kDashesMm});
    }
  }
  for (const double up : {1.0, -1.0}) {
    if (up < 0 && !sign.is_both_sides) {
      break;
    }
    const double base = at.y_mm + (up > 0 ? kGapMm : -kGapMm - kHighMm);
    double x = at.x_mm + startMm(sign);
    sheet.letterings.push_back({sign.size, {x, base}, kHighMm});
    x += wordsMm(sign.size);
    addSymbol(sheet, sign, {x, at.y_mm}, up);
    x += kSymbolMm + kGapMm;
    if (!sign.length.empty()) {
      sheet.letterings.push_back({sign.length, {x, base}, kHighMm});
    }
  }
  if (sign.is_all_round) {
    sheet.paths.push_back({LineRole::kDimension,
                           {{at.x_mm - kRoundMm, at.y_mm, 1}, {at.x_mm + kRoundMm, at.y_mm, 1}},
                           true});
  }
  addLine(sheet, {end, at.y_mm}, {end + kForkMm, at.y_mm + kForkMm});
  addLine(sheet, {end, at.y_mm}, {end + kForkMm, at.y_mm - kForkMm});
  const double tail = end + kForkMm + kGapMm;
  sheet.letterings.push_back({sign.tail, {tail, at.y_mm - kHighMm / 2}, kHighMm});
  if (!sign.where.empty()) {
    sheet.letterings.push_back(
        {sign.where, {tail + wordsMm(sign.tail) + kGapMm, at.y_mm - kHighMm / 2}, kHighMm});
  }
  if (sign.is_on_site) {
    addLine(sheet, at, {at.x_mm, at.y_mm + kFlagMm});
    sheet.areas.push_back({{{{at.x_mm, at.y_mm + kFlagMm},
                             {at.x_mm - kFlagMm / 2, at.y_mm + kFlagMm * 3 / 4},
                             {at.x_mm, at.y_mm + kFlagMm / 2}}},
                           0});
  }
}

double underMm(const WeldSign& sign) {
  return sign.is_both_sides ? kBelowMm : 0;
}

/// Each line's way from where the arrow ends, outwards. What hangs under the first, and below a
/// view the words over it, keep off what other leaders do there.
std::vector<double> waysMm(const std::vector<WeldSign>& signs, double outward) {
  std::vector<double> ways;
  for (std::size_t i = 0; i < signs.size(); ++i) {
    if (i == 0) {
      ways.push_back(outward > 0 ? kForkMm + kGapMm + underMm(signs[0]) : kHighMm + 2 * kGapMm);
    } else {
      ways.push_back(ways.back() + kPitchMm + underMm(outward > 0 ? signs[i] : signs[i - 1]));
    }
  }
  return ways;
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
  const std::vector<double> ways = waysMm(signs, outward);
  const double from = at.y_mm + outward * ways.front();
  const double to = at.y_mm + outward * ways.back();
  const double under = underMm(outward > 0 ? signs.front() : signs.back());
  return {at.x_mm - kFlagMm / 2, std::min(from, to) - kForkMm - under,
          at.x_mm + signsWidthMm(signs), std::max(from, to) + kGapMm + kHighMm * 1.25};
}

void addSigns(Sheet& sheet, const std::vector<WeldSign>& signs, const PaperPoint& at,
              double outward) {
  const std::vector<double> ways = waysMm(signs, outward);
  PaperPoint last = at;
  for (std::size_t i = 0; i < signs.size(); ++i) {
    const PaperPoint line{at.x_mm, at.y_mm + outward * ways[i]};
    if (line.y_mm != last.y_mm) {
      addLine(sheet, last, line);
    }
    addSign(sheet, signs[i], line);
    last = line;
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
