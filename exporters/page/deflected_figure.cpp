#include "exporters/page/deflected_figure.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/xml_text.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

// Pixels of the drawing, which pages scale.
constexpr double kWidth = 1040, kMargin = 14, kApart = 26, kTextHeight = 30;
// What goes away from the road is drawn to the right and up, shortened.
constexpr double kAside = 0.55, kUpwards = 0.35;
/// Exaggerated, the greatest movement is no more of the gate's length than this.
constexpr double kMostOfLength = 0.08;
constexpr std::array<double, 10> kFactors = {1, 2, 5, 10, 20, 50, 100, 200, 500, 1000};

struct Point {
  double x = 0, y = 0;
};

struct Extents {
  double left = std::numeric_limits<double>::infinity(), right = -left;
  double low = left, high = -left;
  void take(const Point& at) {
    left = std::min(left, at.x);
    right = std::max(right, at.x);
    low = std::min(low, at.y);
    high = std::max(high, at.y);
  }
};

Vec3 movedBy(const Vec3& at, const Vec3& moved, double factor) {
  Vec3 out{};
  for (int i = 0; i < 3; ++i) {
    out[i] = at[i] + factor * (moved[i] - at[i]);
  }
  return out;
}

std::string px(double value) {
  return fixedDecimals(value, 1);
}

class Figure {
 public:
  Figure(const DeflectedShape& shape, double opening_sign) : shape_(shape), sign_(opening_sign) {
    factor_ = exaggerationOf(shape);
    for (const DeflectedLine& line : shape.lines) {
      for (const double factor : {0.0, 1.0, factor_}) {
        all_.take(seen(movedBy(line.from, line.from_moved, factor)));
        all_.take(seen(movedBy(line.to, line.to_moved, factor)));
      }
    }
    scale_ = (kWidth / 2 - kMargin - kApart / 2) / (all_.right - all_.left);
  }

  double factor() const { return factor_; }

  std::string svg() const {
    const double height = (all_.high - all_.low) * scale_ + 2 * kMargin + kTextHeight;
    std::string out = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " + px(kWidth) +
                      " " + px(height) + "\" role=\"img\" aria-label=\"" +
                      xmlEscaped("the gate " + shape_.case_name + ", as it stands and moved") +
                      "\">\n";
    const double second = kWidth / 2 + kApart / 2;
    out += drawn(kMargin, 1) + label(kMargin, height, "to scale") + arrow(kMargin + 90, height);
    out += drawn(second, factor_) + label(second, height, "movements " + shown(factor_) + " times");
    return out + "</svg>\n";
  }

 private:
  Point seen(const Vec3& at) const {
    return {sign_ * at[0] + kAside * at[1], at[2] + kUpwards * at[1]};
  }

  std::string stroke(double left, const Vec3& from, const Vec3& to) const {
    const Point a = seen(from), b = seen(to);
    return "M" + px(left + (a.x - all_.left) * scale_) + " " +
           px(kMargin + (all_.high - a.y) * scale_) + "L" + px(left + (b.x - all_.left) * scale_) +
           " " + px(kMargin + (all_.high - b.y) * scale_);
  }

  std::string drawn(double left, double factor) const {
    std::string still, light, frame;
    for (const DeflectedLine& line : shape_.lines) {
      still += stroke(left, line.from, line.to);
      (line.is_infill ? light : frame) += stroke(left, movedBy(line.from, line.from_moved, factor),
                                                 movedBy(line.to, line.to_moved, factor));
    }
    return path("still", still, "#9aa5ac", "0.7") + path("light", light, "#d3a063", "0.7") +
           path("frame", frame, "#b8701a", "1.8");
  }

  static std::string path(const char* kind, const std::string& strokes, const char* colour,
                          const char* width) {
    return "<path class=\"" + std::string(kind) + "\" d=\"" + strokes +
           "\" fill=\"none\" stroke=\"" + colour + "\" stroke-width=\"" + width + "\"/>\n";
  }

  /// Which way the wind blows, in the row of the labels.
  std::string arrow(double left, double height) const {
    const double to = shape_.from_road ? 1 : -1;
    const double x = left + 40, y = height - 14, run = 24;
    const Point tip{x + to * kAside * run, y - to * kUpwards * run};
    const Point tail{x - to * kAside * run, y + to * kUpwards * run};
    const auto at = [](const Point& p) { return px(p.x) + " " + px(p.y); };
    const Point back{tip.x - to * 9, tip.y + to * 1}, other{tip.x - to * 3, tip.y + to * 8};
    return "<path class=\"wind\" d=\"M" + at(tail) + "L" + at(tip) + "M" + at(back) + "L" +
           at(tip) + "L" + at(other) +
           "\" fill=\"none\" stroke=\"#2f6f9f\" stroke-width=\"2\"/>\n" +
           label(left + 66, height, "wind");
  }

  static std::string label(double left, double height, const std::string& words) {
    return "<text x=\"" + px(left) + "\" y=\"" + px(height - 6) +
           "\" font-size=\"13\" fill=\"#53616a\">" + xmlEscaped(words) + "</text>\n";
  }

  const DeflectedShape& shape_;
  const double sign_;
  double factor_ = 1, scale_ = 1;
  Extents all_;
};

}  // namespace

double exaggerationOf(const DeflectedShape& shape) {
  Extents still;
  for (const DeflectedLine& line : shape.lines) {
    still.take({line.from[0], line.from[2]});
    still.take({line.to[0], line.to[2]});
  }
  double factor = 1;
  for (const double one : kFactors) {
    factor = one * shape.most_mm <= kMostOfLength * (still.right - still.left) ? one : factor;
  }
  return factor;
}

std::string deflectedFigures(const StructureReport& structure, double opening_sign) {
  std::string out;
  for (const DeflectedShape& shape : structure.deflected) {
    const Figure figure(shape, opening_sign);
    out +=
        "<figure class=\"deflected\">\n" + figure.svg() + "<figcaption>" +
        xmlEscaped(shape.case_name + ": moves up to " + shown(shape.most_mm, 1) +
                   " mm across the track, of " + shown(structure.deflection_limit_mm, 0) +
                   " mm allowed. Grey: as it stands. Left: to scale; right: movements drawn " +
                   shown(figure.factor()) + " times as large. Weight and wind without factors.") +
        "</figcaption>\n</figure>\n";
  }
  return out;
}

}  // namespace leafstack
