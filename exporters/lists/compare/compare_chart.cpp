#include "exporters/lists/compare/compare_chart.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <utility>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/sha256.h"
#include "exporters/bytes/xml_text.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kWidth = 1200, kHeight = 800;
constexpr double kLeft = 80, kRight = 730, kTop = 60, kBottom = 730;
constexpr double kLabelX = 775, kLabelStep = 24;
constexpr double kSameRoomMm = 0.5;  // nearer curves cannot be told apart
constexpr double kNowhere = -1;
// ShortStretches apart in print and by the colour-blind: blue, orange, green, purple.
constexpr const char* kColours[] = {"#0b6fb3", "#c45a00", "#1b7f4b", "#7b3f98"};

std::string coordinate(double value) {
  return fixedDecimals(value, 1);
}

using Curve = RoomCurve;

/// Where a curve ends on the right, for the order of labels.
double lastOf(const std::vector<double>& room_mm) {
  for (std::size_t i = room_mm.size(); i-- > 0;) {
    if (room_mm[i] >= 0) {
      return room_mm[i];
    }
  }
  return kNowhere;
}

bool isSame(const std::vector<double>& one, const std::vector<double>& other) {
  for (std::size_t i = 0; i < one.size(); ++i) {
    if ((one[i] < 0) != (other[i] < 0) || std::abs(one[i] - other[i]) > kSameRoomMm) {
      return false;
    }
  }
  return true;
}

void addOnce(std::vector<std::string>& names, std::string_view name) {
  if (std::find(names.begin(), names.end(), name) == names.end()) {
    names.emplace_back(name);
  }
}

std::string either(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) {
    text += text.empty() ? "" : "/";
    text += name;
  }
  return text;
}

/// "3 flush, post narrow, overhead/reach-over standard/narrow": mounts with the same motors are
/// told together.
std::string labelOf(const Curve& curve) {
  std::string text = std::to_string(curve.choices.front().panels);
  for (const Stacking stacking : {Stacking::kFlush, Stacking::kStaggered}) {
    std::vector<std::pair<std::vector<std::string>, std::vector<std::string>>> groups;
    for (const GuideMount mount :
         {GuideMount::kPost, GuideMount::kOverhead, GuideMount::kReachOver}) {
      std::vector<std::string> motors;
      for (const ArrangementChoice& one : curve.choices) {
        if (one.stacking == stacking && one.mount == mount) {
          addOnce(motors, one.motorName());
        }
      }
      const auto same = std::find_if(groups.begin(), groups.end(),
                                     [&](const auto& group) { return group.second == motors; });
      if (same != groups.end()) {
        addOnce(same->first, toString(mount));
      } else if (!motors.empty()) {
        groups.push_back({{std::string(toString(mount))}, motors});
      }
    }
    if (!groups.empty() && curve.choices.front().panels >= 3) {
      text += " " + std::string(toString(stacking));
    }
    for (const auto& [mounts, motors] : groups) {
      text += ", " + either(mounts) + " " + either(motors);
    }
  }
  return text;
}

double niceStep(double span, double most_steps) {
  const double rough = span / most_steps;
  const double power = std::pow(10, std::floor(std::log10(rough)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= rough) {
      return factor * power;
    }
  }
  return 10 * power;
}

/// From values to the picture.
struct Scale {
  double low = 0, high = 1, from = 0, to = 1;

  double at(double value) const { return from + (value - low) / (high - low) * (to - from); }
};

std::string lineElement(double x0, double y0, double x1, double y1, const std::string& style) {
  return "<line x1=\"" + coordinate(x0) + "\" y1=\"" + coordinate(y0) + "\" x2=\"" +
         coordinate(x1) + "\" y2=\"" + coordinate(y1) + "\" " + style + "/>\n";
}

std::string textElement(double x, double y, const std::string& words, const std::string& style) {
  return "<text x=\"" + coordinate(x) + "\" y=\"" + coordinate(y) + "\" " + style + ">" +
         xmlEscaped(words) + "</text>\n";
}

/// Polylines through the values that are there.
std::string pathElement(const Scale& x, const Scale& y, const std::vector<double>& at,
                        const std::vector<double>& values, const std::string& style) {
  std::string path;
  bool is_down = false;
  for (std::size_t i = 0; i < at.size(); ++i) {
    if (values[i] < 0) {
      is_down = false;
      continue;
    }
    path += is_down ? " L" : " M";
    path += coordinate(x.at(at[i])) + " " + coordinate(y.at(values[i]));
    is_down = true;
  }
  return path.empty() ? path : "<path d=\"" + path.substr(1) + "\" fill=\"none\" " + style + "/>\n";
}

std::string styleOf(const Curve& curve) {
  const ArrangementChoice& first = curve.choices.front();
  const bool narrow = std::all_of(curve.choices.begin(), curve.choices.end(),
                                  [](const auto& one) { return one.motorName() == "narrow"; });
  std::string style = "stroke=\"" + std::string(kColours[first.panels - 1]) + "\" stroke-width=\"";
  style += narrow ? "1.3\"" : "2.4\"";
  if (first.mount != GuideMount::kPost) {
    style += " stroke-dasharray=\"9 5\"";
  }
  if (first.panels >= 3 && first.stacking == Stacking::kStaggered) {
    style += " stroke-opacity=\"0.6\"";
  }
  return style;
}

std::string grid(const Scale& x, const Scale& y, const std::string& pointer) {
  constexpr double kMostXSteps = 10, kMostYSteps = 14;
  const std::string rule = "stroke=\"#d4dade\" stroke-width=\"1\"";
  const std::string small = "font-size=\"13\" fill=\"#53616a\"";
  std::string out;
  const double x_step = niceStep(x.high - x.low, kMostXSteps);
  for (double i = std::ceil(x.low / x_step - 1e-9); i * x_step <= x.high + x_step * 1e-9; ++i) {
    const double at = x.at(i * x_step);
    out += lineElement(at, kTop, at, kBottom, rule);
    out += textElement(at, kBottom + 20, shown(i * x_step, 6), small + " text-anchor=\"middle\"");
  }
  const double y_step = niceStep(y.high - y.low, kMostYSteps);
  for (double i = std::ceil(y.low / y_step - 1e-9); i * y_step <= y.high + y_step * 1e-9; ++i) {
    const double at = y.at(i * y_step);
    out += lineElement(kLeft, at, kRight, at, rule);
    out += textElement(kLeft - 8, at + 4, shown(i * y_step), small + " text-anchor=\"end\"");
  }
  out +=
      textElement((kLeft + kRight) / 2, kBottom + 46, pointer, small + " text-anchor=\"middle\"");
  out += textElement(kLeft, kTop - 14, "room needed beyond the opening, mm", small);
  return out;
}

/// Heights of labels: where their curves end, pushed apart.
std::vector<double> spread(std::vector<double> wanted) {
  const auto count = static_cast<double>(wanted.size());
  const double step = std::min(kLabelStep, (kBottom - kTop) / std::max(1.0, count - 1));
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    wanted[i] = std::max(wanted[i], i == 0 ? kTop : wanted[i - 1] + step);
  }
  for (std::size_t i = wanted.size(); i-- > 0;) {
    wanted[i] = std::min(wanted[i], i + 1 == wanted.size() ? kBottom : wanted[i + 1] - step);
  }
  return wanted;
}

std::string labelElements(const std::vector<Curve>& curves, const Scale& y) {
  std::vector<double> ends;
  for (const Curve& curve : curves) {
    ends.push_back(y.at(lastOf(curve.room_mm)));
  }
  const std::vector<double> heights = spread(ends);
  std::string out;
  for (std::size_t i = 0; i < curves.size(); ++i) {
    const std::string colour = kColours[curves[i].choices.front().panels - 1];
    out += lineElement(kRight + 3, ends[i], kLabelX - 6, heights[i],
                       "stroke=\"" + colour + "\" stroke-width=\"0.7\"");
    out += textElement(kLabelX, heights[i] + 4, labelOf(curves[i]),
                       "font-size=\"12\" fill=\"" + colour + "\"");
  }
  return out;
}

/// Where a value stands along the axis; nothing for a text.
std::optional<double> numberOf(const std::string& value) {
  double number = 0;
  const auto [end, error] = std::from_chars(value.data(), value.data() + value.size(), number);
  const bool is_number = error == std::errc() && end == value.data() + value.size();
  return is_number ? std::optional(number) : std::nullopt;
}

/// Room for the longest label, of which none is wider than its characters at this size.
double widthFor(const std::vector<Curve>& curves) {
  constexpr double kWidestCharacter = 7.6;
  double width = kWidth;
  for (const Curve& curve : curves) {
    width =
        std::max(width, kLabelX + kWidestCharacter * static_cast<double>(labelOf(curve).size()));
  }
  return std::ceil(width);
}

constexpr std::string_view kSealBegins = "<!-- leafstack chart; SHA-256 of all above: ";

/// With the hash of itself behind it, so that what others change in it is noticed.
std::string sealed(const std::string& svg) {
  return svg + std::string(kSealBegins) + sha256Hex(svg) + " -->\n";
}

}  // namespace

std::string chartProblem(const SweepAxis& axis) {
  std::optional<double> last;
  for (const std::string& value : axis.values) {
    const std::optional<double> number = numberOf(value);
    if (!number) {
      return "needs numbers along its axis, not " + value;
    }
    if (last && *number <= *last) {
      return "needs rising values along its axis";
    }
    last = number;
  }
  return axis.values.size() < 2 ? "needs two values or more along its axis" : "";
}

bool isUnchangedChart(std::string_view svg) {
  const std::size_t seal = svg.rfind(kSealBegins);
  return seal != std::string_view::npos && sealed(std::string(svg.substr(0, seal))) == svg;
}

void RoomChart::add(const SweptSite& site) {
  const std::vector<Arrangement>& arrangements = site.comparison.arrangements;
  if (series_.empty()) {
    for (const Arrangement& made : arrangements) {
      series_.push_back({made.choice, {}});
    }
  }
  values_.push_back(numberOf(site.values.at(0)).value());
  given_mm_.push_back(site.comparison.spec.site.room_mm.value_or(kNowhere));
  for (std::size_t i = 0; i < series_.size(); ++i) {
    series_[i].room_mm.push_back(arrangements.at(i).laid_out ? arrangements[i].room_total_mm : kNowhere);
  }
}

std::vector<RoomCurve> RoomChart::curvesOf() const {
  std::vector<RoomCurve> curves;
  for (const Series& series : series_) {
    const auto same = std::find_if(curves.begin(), curves.end(), [&](const RoomCurve& curve) {
      return curve.choices.front().panels == series.choice.panels &&
             isSame(curve.room_mm, series.room_mm);
    });
    if (same != curves.end()) {
      same->choices.push_back(series.choice);
    } else {
      curves.push_back({{series.choice}, series.room_mm});
    }
  }
  std::erase_if(curves, [](const RoomCurve& curve) { return lastOf(curve.room_mm) < 0; });
  std::stable_sort(curves.begin(), curves.end(), [](const RoomCurve& a, const RoomCurve& b) {
    return lastOf(a.room_mm) > lastOf(b.room_mm);
  });
  return curves;
}

std::string RoomChart::svg() const {
  const std::vector<double>& at = values_;
  const std::vector<RoomCurve> curves = curvesOf();
  double highest = *std::max_element(given_mm_.begin(), given_mm_.end());
  for (const RoomCurve& curve : curves) {
    highest = std::max(highest, *std::max_element(curve.room_mm.begin(), curve.room_mm.end()));
  }
  const Scale x{at.front(), at.back(), kLeft, kRight};
  const Scale y{0, std::max(highest, 1.0), kBottom, kTop};
  std::string out = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " +
                    coordinate(widthFor(curves)) + " " + coordinate(kHeight) +
                    "\" font-family=\"DejaVu Sans, Verdana, Arial, sans-serif\">\n"
                    "<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n";
  out += textElement(kLeft, 26, "Room against " + pointer_, "font-size=\"18\" fill=\"#1f2a31\"");
  out += grid(x, y, pointer_);
  for (const RoomCurve& curve : curves) {
    out += pathElement(x, y, at, curve.room_mm, styleOf(curve));
  }
  out += pathElement(x, y, at, given_mm_, "stroke=\"#1f2a31\" stroke-width=\"2\"");
  if (given_mm_.front() >= 0) {
    const double line = y.at(given_mm_.front());
    const double below = line + 17;
    out += textElement(kLeft + 60, below < kBottom - 4 ? below : line - 8, "room given",
                       "font-size=\"13\" fill=\"#1f2a31\"");
  }
  out += labelElements(curves, y);
  out +=
      textElement(kLeft, kHeight - 10,
                  "colour: panels; dashed: overhead bracket or reach-over arm; thin: narrow "
                  "motor; pale: staggered. Room alone: whether a gate is ready is for check to say",
                  "font-size=\"12\" fill=\"#53616a\"");
  return sealed(out + "</svg>\n");
}

}  // namespace leafstack
