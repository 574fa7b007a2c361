#include "exporters/paper/sheet/backend.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <numbers>
#include <string>

#include "exporters/bytes/export_error.h"

namespace leafstack {
namespace {

void requireFinite(const Sheet& sheet, std::initializer_list<double> values) {
  if (!std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); })) {
    throw ExportError("sheet " + sheet.name + " has a number that is not finite");
  }
}

void requirePath(const Sheet& sheet, const std::vector<PathVertex>& vertices) {
  if (vertices.size() < 2) {
    throw ExportError("sheet " + sheet.name + " has a line of fewer than two points");
  }
  for (const PathVertex& vertex : vertices) {
    requireFinite(sheet, {vertex.x_mm, vertex.y_mm, vertex.bulge});
  }
}

void requirePositive(const Sheet& sheet, double value, const char* what) {
  if (!(std::isfinite(value) && value > 0)) {
    std::string message = "sheet " + sheet.name;
    message += " has a ";
    message += what;
    throw ExportError(message + " that is not above 0");
  }
}

}  // namespace

std::string_view nameOf(LineRole role) {
  switch (role) {
    case LineRole::kVisible:
      return "visible";
    case LineRole::kFine:
      return "fine";
    case LineRole::kHidden:
      return "hidden";
    case LineRole::kCentre:
      return "centre";
    case LineRole::kPhantom:
      return "phantom";
    case LineRole::kDimension:
      return "dimension";
    case LineRole::kHatch:
      return "hatch";
    case LineRole::kCutting:
      return "cutting";
    case LineRole::kRope:
      return "rope";
    case LineRole::kGround:
      return "ground";
    case LineRole::kTable:
      return "table";
    case LineRole::kFrame:
      return "frame";
  }
  return "";
}

std::vector<DrawnDimension> drawnDimensions(const Sheet& sheet) {
  std::vector<DrawnDimension> all;
  all.reserve(sheet.dimensions.size());
  for (const Dimension& dimension : sheet.dimensions) {
    all.push_back(drawn(dimension));
  }
  return all;
}

std::vector<const Path*> strokesOf(LineRole role, const Sheet& sheet,
                                   const std::vector<DrawnDimension>& drawn) {
  std::vector<const Path*> strokes;
  const auto add = [&](const std::vector<Path>& paths) {
    for (const Path& path : paths) {
      if (path.role == role) {
        strokes.push_back(&path);
      }
    }
  };
  add(sheet.paths);
  for (const DrawnDimension& dimension : drawn) {
    add(dimension.lines);
  }
  return strokes;
}

std::vector<double> patternWithRoundEnds(LineRole role, double width_mm) {
  // Some readers leave out strokes of no length.
  constexpr double kLeastStroke = 0.1;  // of the width
  std::vector<double> pattern = patternOf(role, width_mm);
  for (std::size_t i = 0; i + 1 < pattern.size(); i += 2) {
    const double drawn = std::max(pattern[i] - width_mm, kLeastStroke * width_mm);
    pattern[i + 1] += pattern[i] - drawn;
    pattern[i] = drawn;
  }
  return pattern;
}

RoundPath circleOf(const Path& path) {
  const auto& v = path.vertices;
  if (!path.is_closed || v.size() != 2 || std::abs(v[0].bulge) != 1 || v[1].bulge != v[0].bulge) {
    return {};
  }
  return {{(v[0].x_mm + v[1].x_mm) / 2, (v[0].y_mm + v[1].y_mm) / 2},
          std::hypot(v[1].x_mm - v[0].x_mm, v[1].y_mm - v[0].y_mm) / 2};
}

PaperPoint textStart(const Lettering& lettering) {
  const double width = textWidthMm(lettering.text, lettering.height_mm, lettering.is_bold);
  const double back = lettering.anchor == TextAnchor::kLeft     ? 0
                      : lettering.anchor == TextAnchor::kCentre ? width / 2
                                                                : width;
  const double turned = lettering.turned_deg * std::numbers::pi / 180;
  return {lettering.at.x_mm - back * std::cos(turned), lettering.at.y_mm - back * std::sin(turned)};
}

void requireDrawable(const Sheet& sheet) {
  requirePositive(sheet, sheet.width_mm, "width");
  requirePositive(sheet, sheet.height_mm, "height");
  requirePositive(sheet, sheet.wide_mm, "line width");
  for (const Path& path : sheet.paths) {
    requirePath(sheet, path.vertices);
  }
  for (const Area& area : sheet.areas) {
    requireFinite(sheet, {area.grey});
    for (const auto& loop : area.loops) {
      requirePath(sheet, loop);
    }
  }
  for (const Lettering& text : sheet.letterings) {
    requireFinite(sheet, {text.at.x_mm, text.at.y_mm, text.turned_deg});
    requirePositive(sheet, text.height_mm, "height of lettering");
  }
  for (const Dimension& d : sheet.dimensions) {
    requireFinite(sheet,
                  {d.from.x_mm, d.from.y_mm, d.to.x_mm, d.to.y_mm, d.line_at.x_mm, d.line_at.y_mm,
                   d.text_at.x_mm, d.text_at.y_mm, d.angle_deg, d.text_deg, d.value_mm});
    requirePositive(sheet, d.height_mm, "height of a dimension's number");
    requirePositive(sheet, d.mm_per_mm, "scale");
  }
}

}  // namespace leafstack
