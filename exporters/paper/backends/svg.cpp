#include "exporters/paper/backends/svg.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/utf8.h"
#include "exporters/bytes/xml_text.h"
#include "exporters/paper/sheet/backend.h"

namespace leafstack {
namespace {

constexpr double kStepsPerMm = 1000;

/// Shortest text of a whole number of thousandths: "-.5", "12", "3.125".
std::string thousandths(std::int64_t steps) {
  const std::int64_t whole = std::abs(steps) / 1000;
  std::int64_t part = std::abs(steps) % 1000;
  std::string text = steps < 0 ? "-" : "";
  if (whole != 0 || part == 0) {
    text += std::to_string(whole);
  }
  if (part == 0) {
    return text;
  }
  char digits[4] = {'.', static_cast<char>('0' + part / 100),
                    static_cast<char>('0' + part / 10 % 10), static_cast<char>('0' + part % 10)};
  const int count = part % 10 != 0 ? 4 : part % 100 != 0 ? 3 : 2;
  return text.append(digits, static_cast<std::size_t>(count));
}

std::int64_t stepsOf(double mm) {
  return std::llround(roundedToMillionth(mm) * kStepsPerMm);
}

std::string number(double mm) {
  return thousandths(stepsOf(mm));
}

/// Path data in moves from point to point. Every point is rounded where it stands, so that nothing
/// adds up along the way.
class PathData {
 public:
  explicit PathData(double height_mm) : height_(height_mm) {}

  void add(const std::vector<PathVertex>& vertices, bool is_closed) {
    const std::size_t count = vertices.size();
    moveTo(vertices[0]);
    const std::int64_t first_x = x_, first_y = y_;
    for (std::size_t i = 0; i + 1 < count; ++i) {
      pieceTo(vertices[i + 1], vertices[i].bulge);
    }
    if (is_closed) {
      if (vertices.back().bulge != 0) {
        pieceTo(vertices[0], vertices.back().bulge);
      }
      command('z');
      x_ = first_x;
      y_ = first_y;
    }
  }

  std::string take() { return std::move(data_); }

 private:
  std::int64_t right(double x_mm) const { return stepsOf(x_mm); }
  std::int64_t down(double y_mm) const { return stepsOf(height_ - y_mm); }

  void command(char letter) {
    if (letter != last_ || letter == 'm' || letter == 'z') {
      data_ += letter;
      is_first_ = true;
    }
    last_ = letter;
  }

  void value(std::int64_t steps) {
    const std::string text = thousandths(steps);
    if (!is_first_ && text.front() != '-') {
      data_ += ' ';
    }
    data_ += text;
    is_first_ = false;
  }

  void moveTo(const PathVertex& to) {
    command('m');
    value(right(to.x_mm) - x_);
    value(down(to.y_mm) - y_);
    x_ = right(to.x_mm);
    y_ = down(to.y_mm);
  }

  void pieceTo(const PathVertex& to, double bulge) {
    const std::int64_t dx = right(to.x_mm) - x_, dy = down(to.y_mm) - y_;
    x_ += dx;
    y_ += dy;
    if (bulge != 0 && (dx != 0 || dy != 0)) {
      arc(dx, dy, bulge);
    } else if (dy == 0) {
      command('h');
      value(dx);
    } else if (dx == 0) {
      command('v');
      value(dy);
    } else {
      command('l');
      value(dx);
      value(dy);
    }
  }

  void arc(std::int64_t dx, std::int64_t dy, double bulge) {
    const double chord = std::hypot(static_cast<double>(dx), static_cast<double>(dy));
    const double radius = chord * (1 + bulge * bulge) / (4 * std::abs(bulge));
    command('a');
    const auto rounded = std::llround(std::min(radius, kMostRadius));
    value(rounded);
    value(rounded);
    data_ += " 0 ";
    data_ += std::abs(bulge) > 1 ? "1 " : "0 ";
    data_ += bulge > 0 ? "0" : "1";  // Y runs down: anticlockwise is the negative sweep
    value(dx);
    value(dy);
  }

  static constexpr double kMostRadius = 1e12;  // straight on any sheet

  double height_;
  std::string data_;
  std::int64_t x_ = 0, y_ = 0;
  char last_ = 0;
  bool is_first_ = true;
};

std::string hexGrey(double grey) {
  static constexpr char kDigits[] = "0123456789abcdef";
  const auto level = static_cast<int>(std::lround(std::clamp(grey, 0.0, 1.0) * 255));
  std::string text = "#";
  for (int i = 0; i < 3; ++i) {
    text += kDigits[level / 16];
    text += kDigits[level % 16];
  }
  return text;
}

void addAreas(XmlText& xml, const Sheet& sheet) {
  if (sheet.areas.empty()) {
    return;
  }
  xml.open("g", {{"class", "areas"}, {"fill-rule", "evenodd"}});
  for (const Area& area : sheet.areas) {
    PathData data(sheet.height_mm);
    for (const auto& loop : area.loops) {
      data.add(loop, true);
    }
    xml.empty("path", {{"fill", hexGrey(area.grey)}, {"d", data.take()}});
  }
  xml.close();
}

void addStrokes(XmlText& xml, const Sheet& sheet, const std::vector<DrawnDimension>& dimensions) {
  xml.open("g", {{"class", "lines"},
                 {"fill", "none"},
                 {"stroke", "#000"},
                 {"stroke-linecap", "round"},
                 {"stroke-linejoin", "round"}});
  for (const LineRole role : kLineRoles) {
    const auto paths = strokesOf(role, sheet, dimensions);
    if (paths.empty()) {
      continue;
    }
    const double width = widthOf(role, sheet.wide_mm);
    XmlAttributes attributes{{"class", std::string(nameOf(role))}, {"stroke-width", number(width)}};
    std::string dashes;
    for (const double length : patternWithRoundEnds(role, width)) {
      dashes += dashes.empty() ? "" : " ";
      dashes += number(length);
    }
    if (!dashes.empty()) {
      attributes.push_back({"stroke-dasharray", dashes});
    }
    PathData data(sheet.height_mm);
    for (const Path* path : paths) {
      data.add(path->vertices, path->is_closed);
    }
    xml.open("g", attributes).empty("path", {{"d", data.take()}}).close();
  }
  xml.close();
}

void addArrows(XmlText& xml, const Sheet& sheet, const std::vector<DrawnDimension>& dimensions) {
  PathData data(sheet.height_mm);
  for (const DrawnDimension& dimension : dimensions) {
    for (const auto& arrow : dimension.arrows) {
      data.add({{arrow[0].x_mm, arrow[0].y_mm, 0},
                {arrow[1].x_mm, arrow[1].y_mm, 0},
                {arrow[2].x_mm, arrow[2].y_mm, 0}},
               true);
    }
  }
  const std::string path = data.take();
  if (!path.empty()) {
    xml.open("g", {{"class", "arrows"}}).empty("path", {{"d", path}}).close();
  }
}

std::string textElement(const Lettering& lettering, double sheet_height_mm) {
  const std::string x = number(lettering.at.x_mm);
  const std::string y = number(sheet_height_mm - lettering.at.y_mm);
  std::string out = "<text x=\"" + x;
  out += "\" y=\"" + y;
  out += "\" font-size=\"" + number(lettering.height_mm * kBodyPerCapital);
  out += "\" textLength=\"" +
         number(textWidthMm(lettering.text, lettering.height_mm, lettering.is_bold));
  out += "\" lengthAdjust=\"spacingAndGlyphs\"";
  if (lettering.anchor != TextAnchor::kLeft) {
    out += lettering.anchor == TextAnchor::kCentre ? " text-anchor=\"middle\""
                                                   : " text-anchor=\"end\"";
  }
  if (lettering.is_bold) {
    out += " font-weight=\"bold\"";
  }
  if (lettering.turned_deg != 0) {
    out += " transform=\"rotate(" + number(-lettering.turned_deg);  // Y runs down
    out += " " + x;
    out += " " + y;
    out += ")\"";
  }
  return out + ">" + xmlEscaped(printableLine(lettering.text)) + "</text>\n";
}

void addTexts(std::string& out, std::string_view name, const std::vector<Lettering>& texts,
              double sheet_height_mm) {
  if (texts.empty()) {
    return;
  }
  // Blanks are kept, or a text with several would be stretched.
  out += "  <g class=\"";
  out += name;
  out += "\" font-family=\"'DejaVu Sans',Verdana,Arial,Helvetica,sans-serif\"";
  out += " xml:space=\"preserve\">\n";
  for (const Lettering& text : texts) {
    if (!text.text.empty()) {
      out += "    " + textElement(text, sheet_height_mm);
    }
  }
  out += "  </g>\n";
}

}  // namespace

std::string drawingSvg(const Sheet& sheet, const Provenance& provenance) {
  requireDrawable(sheet);
  const std::vector<DrawnDimension> dimensions = drawnDimensions(sheet);
  const std::string width = number(sheet.width_mm), height = number(sheet.height_mm);
  XmlText xml;
  xml.open("svg", {{"xmlns", "http://www.w3.org/2000/svg"},
                   {"width", width + "mm"},
                   {"height", height + "mm"},
                   {"viewBox", "0 0 " + width + " " + height}});
  xml.leaf("title", printableLine(sheet.title));
  std::string origin = programName() + ", input sha256 " + provenance.input_sha256;
  origin += ", " + provenance.timestamp;
  xml.leaf("desc", origin);
  xml.empty("rect", {{"width", width}, {"height", height}, {"fill", "#fff"}});
  addAreas(xml, sheet);
  addStrokes(xml, sheet, dimensions);
  addArrows(xml, sheet, dimensions);
  std::string out = xml.text();
  addTexts(out, "lettering", sheet.letterings, sheet.height_mm);
  std::vector<Lettering> numbers;
  numbers.reserve(dimensions.size());
  for (const DrawnDimension& dimension : dimensions) {
    numbers.push_back(dimension.text);
  }
  addTexts(out, "numbers", numbers, sheet.height_mm);
  return out + "</svg>\n";
}

}  // namespace leafstack
