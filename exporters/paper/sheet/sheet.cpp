#include "exporters/paper/sheet/sheet.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/utf8.h"
#include "exporters/paper/sheet/letter_advances.h"
#include "params/reading/characters.h"

namespace leafstack {
namespace {

// Dimensions as ISO 129-1 has them, from memory: closed filled arrows, extension lines that start
// off the outline and run past the dimension line. Lengths on paper are common practice, no source.
// An arrow is a third as wide as long (19 degrees), as drawing programs make them that draw a
// dimension of the DXF anew (from memory).
constexpr double kArrowMm = kDimensionArrowMm, kHalfArrowMm = kArrowMm / 6;
constexpr double kOffObjectMm = kDimensionOffObjectMm, kPastLineMm = kDimensionPastLineMm;
constexpr double kTailMm = 2.5;  // of the dimension line behind an arrow that points inwards
constexpr double kOriginRadiusMm = 1;
// Nearer than any pen can show: then it is the same place.
constexpr double kSamePlaceMm = 0.01;
// Nearer than this to a whole number, no decimal is shown.
constexpr double kWholeMm = 0.005;

/// A direction on paper and the one a quarter turn anticlockwise of it.
struct Axes {
  double cosine, sine;
  explicit Axes(double angle_deg)
      : cosine(std::cos(angle_deg * std::numbers::pi / 180)),
        sine(std::sin(angle_deg * std::numbers::pi / 180)) {}
  double along(const PaperPoint& from, const PaperPoint& to) const {
    return (to.x_mm - from.x_mm) * cosine + (to.y_mm - from.y_mm) * sine;
  }
  double across(const PaperPoint& from, const PaperPoint& to) const {
    return (to.y_mm - from.y_mm) * cosine - (to.x_mm - from.x_mm) * sine;
  }
  PaperPoint moved(const PaperPoint& point, double along_mm, double across_mm) const {
    return {point.x_mm + along_mm * cosine - across_mm * sine,
            point.y_mm + along_mm * sine + across_mm * cosine};
  }
};

Path thinLine(const std::vector<PaperPoint>& points) {
  Path path;
  path.role = LineRole::kDimension;
  for (const PaperPoint& point : points) {
    path.vertices.push_back({point.x_mm, point.y_mm, 0});
  }
  return path;
}

Path thinCircle(const PaperPoint& centre, double radius_mm) {
  Path path;
  path.role = LineRole::kDimension;
  path.is_closed = true;
  path.vertices = {{centre.x_mm - radius_mm, centre.y_mm, 1},
                   {centre.x_mm + radius_mm, centre.y_mm, 1}};
  return path;
}

/// Filled, its shaft towards `sign` times the direction.
std::array<PaperPoint, 3> arrow(const Axes& axes, const PaperPoint& tip, double sign) {
  return {tip, axes.moved(tip, sign * kArrowMm, kHalfArrowMm),
          axes.moved(tip, sign * kArrowMm, -kHalfArrowMm)};
}

/// Square to the dimension line, which lies `across_mm` off the object point.
void addExtension(DrawnDimension& out, const Axes& axes, const PaperPoint& object,
                  double across_mm) {
  const double far = std::abs(across_mm);
  if (far < kSamePlaceMm) {
    return;  // measured on the outline itself
  }
  const double sign = across_mm < 0 ? -1 : 1;
  out.lines.push_back(thinLine({axes.moved(object, 0, sign * std::min(kOffObjectMm, far)),
                                axes.moved(object, 0, sign * (far + kPastLineMm))}));
}

void drawLinear(DrawnDimension& out, const Dimension& dimension) {
  const Axes axes(dimension.angle_deg);
  const double from_across = axes.across(dimension.from, dimension.line_at);
  const double to_across = axes.across(dimension.to, dimension.line_at);
  addExtension(out, axes, dimension.from, from_across);
  addExtension(out, axes, dimension.to, to_across);
  const PaperPoint start = axes.moved(dimension.from, 0, from_across);
  const double length = axes.along(start, dimension.to);
  const PaperPoint end = axes.moved(start, length, 0);
  const double sign = length < 0 ? -1 : 1;
  double low = std::min(0.0, length), high = std::max(0.0, length);
  const double text = axes.along(start, dimension.text_at);
  const bool is_before = text<low, is_after = text> high;
  if (dimension.arrows_outside) {
    low -= kArrowMm + kTailMm;
    high += kArrowMm + kTailMm;
  }
  const double half_text = textWidthMm(dimension.text(), dimension.height_mm) / 2;
  if (is_before) {
    low = std::min(low, text - half_text);
  }
  if (is_after) {
    high = std::max(high, text + half_text);
  }
  out.lines.push_back(thinLine({axes.moved(start, low, 0), axes.moved(start, high, 0)}));
  const double inwards = dimension.arrows_outside ? -sign : sign;
  out.arrows.push_back(arrow(axes, start, inwards));
  out.arrows.push_back(arrow(axes, end, -inwards));
}

/// Straight out, then at half a right angle (steeper where there is no room) to the line's end.
void drawRunning(DrawnDimension& out, const Dimension& dimension) {
  const Axes axes(dimension.angle_deg);
  const double across = axes.across(dimension.to, dimension.line_at);
  const double shift = axes.along(dimension.to, dimension.line_at);
  const double sign = across < 0 ? -1 : 1;
  double begin = std::min(kOffObjectMm, std::abs(across));
  if (roundedToMillionth(dimension.value_mm) == 0) {
    const PaperPoint centre = axes.moved(dimension.to, 0, sign * (begin + kOriginRadiusMm));
    out.lines.push_back(thinCircle(centre, kOriginRadiusMm));
    begin = std::min(begin + 2 * kOriginRadiusMm, std::abs(across));
  }
  const double slant =
      std::abs(shift) < kSamePlaceMm ? 0 : std::min(std::abs(shift), std::abs(across) - begin);
  std::vector<PaperPoint> points{axes.moved(dimension.to, 0, sign * begin)};
  if (slant > 0 && std::abs(across) - slant - begin > kSamePlaceMm) {
    points.push_back(axes.moved(dimension.to, 0, sign * (std::abs(across) - slant)));
  }
  points.push_back(dimension.line_at);
  out.lines.push_back(thinLine(points));
}

bool isWide(LineRole role) {
  switch (role) {
    case LineRole::kVisible:
    case LineRole::kCutting:
    case LineRole::kRope:
    case LineRole::kGround:
    case LineRole::kFrame:
      return true;
    case LineRole::kFine:
    case LineRole::kHidden:
    case LineRole::kCentre:
    case LineRole::kPhantom:
    case LineRole::kDimension:
    case LineRole::kHatch:
    case LineRole::kTable:
      return false;
  }
  return false;
}

}  // namespace

int decimalsOf(double value_mm) {
  constexpr double kEndsMm = 0.005;  // as nothing in its second decimal
  const auto endsAfter = [&](double in_last_place) {
    return std::abs(value_mm - std::round(value_mm * in_last_place) / in_last_place) < kEndsMm;
  };
  if (std::abs(value_mm - std::round(value_mm)) < kWholeMm) {
    return 0;
  }
  // What ends nowhere, to a hundredth: as lists have it.
  return endsAfter(10) ? 1 : 2;
}

std::string lengthText(double value_mm) {
  Dimension one;
  one.value_mm = value_mm;
  one.decimals = decimalsOf(value_mm);
  return one.text();
}

std::string Dimension::text() const {
  // In whole millionths, halves up: what sums of tenths leave in a double changes no digit.
  constexpr int kMostDecimals = 6;
  constexpr double kMillion = 1e6;
  const int places = std::clamp(decimals, 0, kMostDecimals);
  const double in_last_place = std::pow(10, places);
  const auto step = static_cast<long long>(kMillion / in_last_place);
  const auto millionths = std::llround(roundedToMillionth(std::abs(value_mm)) * kMillion);
  const auto rounded = static_cast<double>((millionths + step / 2) / step);
  const double number = (value_mm < 0 ? -rounded : rounded) / in_last_place;
  return prefix + fixedDecimals(number, places) + suffix;
}

DrawnDimension drawn(const Dimension& dimension) {
  DrawnDimension out;
  if (dimension.kind == DimensionKind::kLinear) {
    drawLinear(out, dimension);
  } else {
    drawRunning(out, dimension);
  }
  out.text = {dimension.text(),    dimension.text_at,  dimension.height_mm,
              TextAnchor::kCentre, dimension.text_deg, false};
  return out;
}

double widthOf(LineRole role, double wide_mm) {
  constexpr double kFrameMm = 0.7;
  if (role == LineRole::kFrame) {
    return kFrameMm;
  }
  if (role == LineRole::kRope) {
    return 2 * wide_mm;
  }
  return isWide(role) ? wide_mm : wide_mm / 2;
}

std::vector<double> patternOf(LineRole role, double width_mm) {
  // ISO 128: line types 02, 04 and 05 in line widths; that a dot is half a width long is from
  // memory.
  constexpr double kDash = 12, kLongDash = 24, kGap = 3, kDot = 0.5;
  std::vector<double> widths;
  switch (role) {
    case LineRole::kHidden:
      widths = {kDash, kGap};
      break;
    case LineRole::kCentre:
    case LineRole::kCutting:
      widths = {kLongDash, kGap, kDot, kGap};
      break;
    case LineRole::kPhantom:
      widths = {kLongDash, kGap, kDot, kGap, kDot, kGap};
      break;
    case LineRole::kVisible:
    case LineRole::kFine:
    case LineRole::kDimension:
    case LineRole::kHatch:
    case LineRole::kRope:
    case LineRole::kGround:
    case LineRole::kTable:
    case LineRole::kFrame:
      break;
  }
  for (double& length : widths) {
    length *= width_mm;
  }
  return widths;
}

double textWidthMm(const std::string& text, double height_mm, bool is_bold) {
  long units = 0;
  if (isPlainAscii(text)) {
    for (const char letter : text) {
      units += letterAdvance(static_cast<unsigned char>(letter), is_bold);
    }
    return static_cast<double>(units) / kUnitsPerBody * height_mm * kBodyPerCapital;
  }
  for (const char32_t code : codePoints(printableLine(text), U'?')) {
    units += letterAdvance(code, is_bold);
  }
  return static_cast<double>(units) / kUnitsPerBody * height_mm * kBodyPerCapital;
}

std::array<PaperPoint, 4> textBox(const Lettering& lettering) {
  constexpr double kBelowBaseLine = 0.25;
  const double width = textWidthMm(lettering.text, lettering.height_mm, lettering.is_bold);
  const double left = lettering.anchor == TextAnchor::kLeft     ? 0
                      : lettering.anchor == TextAnchor::kCentre ? -width / 2
                                                                : -width;
  const double low = -kBelowBaseLine * lettering.height_mm;
  const Axes axes(lettering.turned_deg);
  return {axes.moved(lettering.at, left, low), axes.moved(lettering.at, left + width, low),
          axes.moved(lettering.at, left + width, lettering.height_mm),
          axes.moved(lettering.at, left, lettering.height_mm)};
}

}  // namespace leafstack
