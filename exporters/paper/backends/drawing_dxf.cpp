#include "exporters/paper/backends/drawing_dxf.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <numbers>
#include <set>
#include <utility>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/utf8.h"
#include "exporters/cad/dxf/dxf.h"
#include "exporters/paper/sheet/backend.h"

namespace leafstack {
namespace {

constexpr const char* kTextLayer = "TEXT";
constexpr const char* kFillLayer = "FILL";
constexpr const char* kDimensionLayer = "DIMENSION";
constexpr int kBlackOrWhite = 7;  // against the screen's ground

// Every CAD program has or replaces this face. At 0.9 of its own width, and capitals of one height,
// words take less room than in the PDF's (measured with a face of the same advances): only a few
// single capitals and dashes are wider.
constexpr double kWidthFactor = 0.9;
constexpr const char* kPlain = "SHEET";
constexpr const char* kBold = "SHEET-BOLD";

std::string layerOf(LineRole role) {
  std::string name(nameOf(role));
  for (char& c : name) {
    // Not toupper, which in a Turkish locale leaves the i as it is.
    c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
  }
  return name;
}

/// Nearest of the weights that the format knows, hundredths of a mm.
int weightOf(double width_mm) {
  static constexpr int kWeights[] = {0,  5,  9,  13, 15, 18,  20,  25,  30,  35,  40,  50,
                                     53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211};
  const double wanted = width_mm * 100;
  return *std::min_element(std::begin(kWeights), std::end(kWeights), [&](int a, int b) {
    return std::abs(a - wanted) < std::abs(b - wanted);
  });
}

/// Colour number for a grey: 250 to 255 are greys, as programs show them (from memory; programs
/// differ a little).
int colourOf(double grey) {
  static constexpr double kGreys[] = {51, 91, 132, 173, 214, 255};
  constexpr int kFirstGrey = 250;
  if (grey * 255 < kGreys[0] / 2) {
    return kBlackOrWhite;
  }
  const auto* nearest = std::min_element(
      std::begin(kGreys), std::end(kGreys),
      [&](double a, double b) { return std::abs(a - grey * 255) < std::abs(b - grey * 255); });
  return kFirstGrey + static_cast<int>(nearest - std::begin(kGreys));
}

/// "20", "0_5": a number in a name.
std::string inName(double value) {
  std::string text = fixedDecimals(roundedToMillionth(value), 6);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') {
    text.pop_back();
  }
  std::replace(text.begin(), text.end(), '.', '_');
  return text;
}

std::string lineTypeName(LineRole role, double width_mm) {
  const std::size_t strokes = patternOf(role, width_mm).size() / 2;
  // Numbers of the line types in ISO 128.
  static constexpr std::array<const char*, 4> kNames = {"", "ISO02_DASHED_", "ISO04_LONG_DASH_DOT_",
                                                        "ISO05_LONG_DASH_DOUBLE_DOT_"};
  return strokes == 0 ? "CONTINUOUS" : kNames.at(strokes) + inName(width_mm);
}

std::string dimensionStyleName(const Dimension& d) {
  std::string name = "SCALE-" + inName(d.mm_per_mm);
  name += "-TEXT-" + inName(d.height_mm);
  name += "-PLACES-" + std::to_string(d.decimals);
  return name;
}

std::vector<DxfVertex> verticesOf(const std::vector<PathVertex>& path) {
  std::vector<DxfVertex> vertices;
  vertices.reserve(path.size());
  for (const PathVertex& vertex : path) {
    vertices.push_back({vertex.x_mm, vertex.y_mm, vertex.bulge});
  }
  return vertices;
}

DxfVertex at(const PaperPoint& point) {
  return {point.x_mm, point.y_mm, 0};
}

class SheetDxf {
 public:
  explicit SheetDxf(const Sheet& sheet) : sheet_(sheet) {}

  std::string file() {
    declare();
    drawing_.limits(sheet_.width_mm, sheet_.height_mm);
    for (const Area& area : sheet_.areas) {
      std::vector<std::vector<DxfVertex>> loops;
      for (const auto& loop : area.loops) {
        loops.push_back(verticesOf(loop));
      }
      drawing_.hatch(kFillLayer, std::move(loops), colourOf(area.grey));
    }
    for (const LineRole role : kLineRoles) {
      for (const Path* path : strokesOf(role, sheet_, {})) {
        stroke(*path);
      }
    }
    for (const Lettering& lettering : sheet_.letterings) {
      text(kTextLayer, lettering);
    }
    for (const Dimension& d : sheet_.dimensions) {
      dimension(d);
    }
    return drawing_.file();
  }

 private:
  void declare() {
    static constexpr const char* kPictures[] = {"", "__ __ __", "____ . ____ .",
                                                "____ . . ____ . ."};
    std::set<std::string> known;
    for (const LineRole role : kLineRoles) {
      const double width = widthOf(role, sheet_.wide_mm);
      const std::vector<double> pattern = patternOf(role, width);
      const std::string type = lineTypeName(role, width);
      if (!pattern.empty() && known.insert(type).second) {
        drawing_.lineType({type, kPictures[pattern.size() / 2], pattern});
      }
      drawing_.layer(layerOf(role), kBlackOrWhite, type, weightOf(width));
    }
    const int narrow = weightOf(sheet_.wide_mm / 2);
    drawing_.layer(kFillLayer, kBlackOrWhite, "CONTINUOUS", narrow);
    drawing_.layer(kTextLayer, kBlackOrWhite, "CONTINUOUS", narrow);
    drawing_.textStyle({kPlain, "arial.ttf", kWidthFactor});
    drawing_.textStyle({kBold, "arialbd.ttf", kWidthFactor});
    for (const Dimension& d : sheet_.dimensions) {
      const std::string name = dimensionStyleName(d);
      if (d.kind == DimensionKind::kLinear && known.insert(name).second) {
        drawing_.dimensionStyle(styleOf(d, name));
      }
    }
  }

  static DxfDimensionStyle styleOf(const Dimension& d, const std::string& name) {
    DxfDimensionStyle style;
    style.name = name;
    style.text_style = kPlain;
    style.factor = d.mm_per_mm;
    style.decimals = d.decimals;
    style.text_mm = d.height_mm;
    style.arrow_mm = kDimensionArrowMm;
    style.off_object_mm = kDimensionOffObjectMm;
    style.past_line_mm = kDimensionPastLineMm;
    return style;
  }

  void stroke(const Path& path) {
    const std::string layer = layerOf(path.role);
    const RoundPath circle = circleOf(path);
    const auto& v = path.vertices;
    if (circle.radius_mm > 0) {
      drawing_.circle(layer, circle.centre.x_mm, circle.centre.y_mm, circle.radius_mm);
    } else if (v.size() == 2 && !path.is_closed && v[0].bulge == 0) {
      drawing_.line(layer, v[0].x_mm, v[0].y_mm, v[1].x_mm, v[1].y_mm);
    } else {
      drawing_.patternedPolyline(layer, verticesOf(v), path.is_closed);
    }
  }

  void text(const char* layer, const Lettering& lettering) {
    if (lettering.text.empty()) {
      return;
    }
    DxfLettering words;
    words.text = printableLine(lettering.text);
    words.x_mm = lettering.at.x_mm;
    words.y_mm = lettering.at.y_mm;
    words.height_mm = lettering.height_mm;
    words.turned_deg = lettering.turned_deg;
    words.align = lettering.anchor == TextAnchor::kLeft     ? DxfAlign::kLeft
                  : lettering.anchor == TextAnchor::kCentre ? DxfAlign::kCentre
                                                            : DxfAlign::kRight;
    words.style = lettering.is_bold ? kBold : kPlain;
    drawing_.text(layer, words);
  }

  /// A row that counts from a datum goes as lines and text: not every program draws ordinates.
  void dimension(const Dimension& d) {
    const DrawnDimension picture = drawn(d);
    const auto draw = [&] {
      for (const Path& line : picture.lines) {
        stroke(line);
      }
      for (const auto& arrow : picture.arrows) {
        drawing_.solid(kDimensionLayer, {at(arrow[0]), at(arrow[1]), at(arrow[2])});
      }
      text(kDimensionLayer, picture.text);
    };
    if (d.kind == DimensionKind::kRunning) {
      draw();
      return;
    }
    const double turned = d.text_deg * std::numbers::pi / 180;
    DxfDimension out;
    out.style = dimensionStyleName(d);
    out.angle_deg = d.angle_deg;
    out.line_at = at(lineEnd(d));
    out.first = at(d.from);
    out.second = at(d.to);
    out.text_middle = {d.text_at.x_mm - d.height_mm / 2 * std::sin(turned),
                       d.text_at.y_mm + d.height_mm / 2 * std::cos(turned), 0};
    out.text_deg = d.text_deg;
    out.measured_mm = std::abs(d.value_mm);
    out.text = printableLine(picture.text.text);
    drawing_.dimension(kDimensionLayer, out, draw);
  }

  /// The dimension line's end over the second point.
  static PaperPoint lineEnd(const Dimension& d) {
    const double angle = d.angle_deg * std::numbers::pi / 180;
    const double across = (d.line_at.y_mm - d.to.y_mm) * std::cos(angle) -
                          (d.line_at.x_mm - d.to.x_mm) * std::sin(angle);
    return {d.to.x_mm - across * std::sin(angle), d.to.y_mm + across * std::cos(angle)};
  }

  const Sheet& sheet_;
  DxfDrawing drawing_;
};

}  // namespace

std::string drawingDxf(const Sheet& sheet) {
  requireDrawable(sheet);
  return SheetDxf(sheet).file();
}

}  // namespace leafstack
