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
#include "exporters/paper/sheet/paper.h"

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

/// Colours of lines by what they say, for screens; on paper all are black. Own choice of the
/// format's first nine numbers.
int colourOf(LineRole role) {
  switch (role) {
    case LineRole::kHidden:
    case LineRole::kPhantom:
      return 3;
    case LineRole::kCentre:
    case LineRole::kCutting:
      return 1;
    case LineRole::kDimension:
      return 5;
    case LineRole::kRope:
      return 6;
    case LineRole::kFine:
    case LineRole::kHatch:
    case LineRole::kTable:
      return 8;
    case LineRole::kVisible:
    case LineRole::kGround:
    case LineRole::kFrame:
      return kBlackOrWhite;
  }
  return kBlackOrWhite;
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

/// From a sheet's paper to the file's plane: about a point, by a factor.
struct OnPlane {
  double scale = 1;
  PaperPoint from{}, to{};

  DxfVertex at(const PaperPoint& point) const {
    return {to.x_mm + (point.x_mm - from.x_mm) * scale, to.y_mm + (point.y_mm - from.y_mm) * scale,
            0};
  }
  std::vector<DxfVertex> at(const std::vector<PathVertex>& path) const {
    std::vector<DxfVertex> vertices;
    vertices.reserve(path.size());
    for (const PathVertex& vertex : path) {
      vertices.push_back(at(PaperPoint{vertex.x_mm, vertex.y_mm}));
      vertices.back().bulge = vertex.bulge;
    }
    return vertices;
  }
};

/// What goes to one place of the file.
struct PlacedPiece {
  Sheet sheet;
  OnPlane on;
};

class SheetDxf {
 public:
  SheetDxf(const std::vector<PlacedPiece>& pieces, double width_mm, double height_mm)
      : pieces_(pieces) {
    drawing_.limits(width_mm, height_mm);
  }

  std::string file() {
    declare();
    for (const PlacedPiece& piece : pieces_) {
      on_ = piece.on;
      add(piece.sheet);
    }
    return drawing_.file();
  }

 private:
  void add(const Sheet& sheet) {
    for (const Area& area : sheet.areas) {
      std::vector<std::vector<DxfVertex>> loops;
      for (const auto& loop : area.loops) {
        loops.push_back(on_.at(loop));
      }
      drawing_.hatch(kFillLayer, std::move(loops), colourOf(area.grey));
    }
    for (const LineRole role : kLineRoles) {
      for (const Path* path : strokesOf(role, sheet, {})) {
        stroke(*path);
      }
    }
    for (const Lettering& lettering : sheet.letterings) {
      text(kTextLayer, lettering);
    }
    for (const Dimension& d : sheet.dimensions) {
      dimension(d);
    }
  }

  void declare() {
    const double wide_mm = pieces_.front().sheet.wide_mm;
    const double scale = pieces_.front().on.scale;
    static constexpr const char* kPictures[] = {"", "__ __ __", "____ . ____ .",
                                                "____ . . ____ . ."};
    std::set<std::string> known;
    for (const LineRole role : kLineRoles) {
      const double width = widthOf(role, wide_mm);
      std::vector<double> pattern = patternOf(role, width);
      for (double& stroke : pattern) {
        stroke *= scale;
      }
      const std::string type = lineTypeName(role, width);
      if (!pattern.empty() && known.insert(type).second) {
        drawing_.lineType({type, kPictures[pattern.size() / 2], pattern});
      }
      drawing_.layer(layerOf(role), colourOf(role), type, weightOf(width));
    }
    const int narrow = weightOf(wide_mm / 2);
    drawing_.layer(kFillLayer, kBlackOrWhite, "CONTINUOUS", narrow);
    drawing_.layer(kTextLayer, kBlackOrWhite, "CONTINUOUS", narrow);
    drawing_.textStyle({kPlain, "arial.ttf", kWidthFactor});
    drawing_.textStyle({kBold, "arialbd.ttf", kWidthFactor});
    for (const PlacedPiece& piece : pieces_) {
      for (const Dimension& d : piece.sheet.dimensions) {
        const std::string name = dimensionStyleName(d);
        if (d.kind == DimensionKind::kLinear && known.insert(name).second) {
          drawing_.dimensionStyle(styleOf(d, name, piece.on.scale));
        }
      }
    }
  }

  static DxfDimensionStyle styleOf(const Dimension& d, const std::string& name, double scale) {
    DxfDimensionStyle style;
    style.name = name;
    style.text_style = kPlain;
    style.factor = d.mm_per_mm / scale;
    style.decimals = d.decimals;
    style.text_mm = d.height_mm * scale;
    style.arrow_mm = kDimensionArrowMm * scale;
    style.off_object_mm = kDimensionOffObjectMm * scale;
    style.past_line_mm = kDimensionPastLineMm * scale;
    return style;
  }

  void stroke(const Path& path) {
    const std::string layer = layerOf(path.role);
    const RoundPath circle = circleOf(path);
    const auto& v = path.vertices;
    if (circle.radius_mm > 0) {
      const DxfVertex centre = on_.at(circle.centre);
      drawing_.circle(layer, centre.x_mm, centre.y_mm, circle.radius_mm * on_.scale);
    } else if (v.size() == 2 && !path.is_closed && v[0].bulge == 0) {
      const std::vector<DxfVertex> ends = on_.at(v);
      drawing_.line(layer, ends[0].x_mm, ends[0].y_mm, ends[1].x_mm, ends[1].y_mm);
    } else {
      drawing_.patternedPolyline(layer, on_.at(v), path.is_closed);
    }
  }

  void text(const char* layer, const Lettering& lettering) {
    if (lettering.text.empty()) {
      return;
    }
    DxfLettering words;
    words.text = printableLine(lettering.text);
    const DxfVertex base = on_.at(lettering.at);
    words.x_mm = base.x_mm;
    words.y_mm = base.y_mm;
    words.height_mm = lettering.height_mm * on_.scale;
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
        drawing_.solid(kDimensionLayer, {on_.at(arrow[0]), on_.at(arrow[1]), on_.at(arrow[2])});
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
    out.line_at = on_.at(lineEnd(d));
    out.first = on_.at(d.from);
    out.second = on_.at(d.to);
    out.text_middle = on_.at(PaperPoint{d.text_at.x_mm - d.height_mm / 2 * std::sin(turned),
                                        d.text_at.y_mm + d.height_mm / 2 * std::cos(turned)});
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

  const std::vector<PlacedPiece>& pieces_;
  OnPlane on_;
  DxfDrawing drawing_;
};

template <class One>
std::vector<One> cutOut(const std::vector<One>& all, const std::array<std::size_t, 2>& range) {
  return {all.begin() + static_cast<std::ptrdiff_t>(range[0]),
          all.begin() + static_cast<std::ptrdiff_t>(range[1])};
}

}  // namespace

std::string drawingDxf(const Sheet& sheet) {
  requireDrawable(sheet);
  const std::vector<PlacedPiece> whole = {{sheet, {}}};
  return SheetDxf(whole, sheet.width_mm, sheet.height_mm).file();
}

std::string modelDxf(const Sheet& sheet) {
  if (sheet.views.empty()) {
    return drawingDxf(sheet);
  }
  requireDrawable(sheet);
  constexpr double kApartMm = 20;  // on paper at the view's scale
  std::vector<PlacedPiece> pieces;
  double x_mm = 0;
  double height_mm = 0;
  for (const PlacedView& view : sheet.views) {
    PlacedPiece piece;
    piece.sheet.wide_mm = sheet.wide_mm;
    piece.sheet.paths = cutOut(sheet.paths, view.paths);
    piece.sheet.areas = cutOut(sheet.areas, view.areas);
    piece.sheet.letterings = cutOut(sheet.letterings, view.letterings);
    piece.sheet.dimensions = cutOut(sheet.dimensions, view.dimensions);
    const PaperBox box = extentsOf(piece.sheet);
    piece.on = {view.mm_per_mm, {box.left_mm, box.bottom_mm}, {x_mm, 0}};
    x_mm += (box.widthMm() + kApartMm) * view.mm_per_mm;
    height_mm = std::max(height_mm, box.heightMm() * view.mm_per_mm);
    pieces.push_back(std::move(piece));
  }
  return SheetDxf(pieces, x_mm, height_mm).file();
}

}  // namespace leafstack
