#include "exporters/paper/pictures/stock_picture.h"

#include <algorithm>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/xml_text.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kWidth = 1600, kMargin = 40, kNumberWidth = 110;
constexpr double kBarHeight = 30, kBarStep = 44, kHeadHeight = 56;
constexpr double kTextSize = 13;
constexpr double kTextWidthShare = 0.62;  // of a character's height, a little more than it takes

std::string number(double value) {
  return fixedDecimals(value, 2);
}

std::string rectangle(double x, double y, double width, const char* kind) {
  return "<rect class=\"" + std::string(kind) + "\" x=\"" + number(x) + "\" y=\"" + number(y) +
         "\" width=\"" + number(width) + "\" height=\"" + number(kBarHeight) + "\"/>\n";
}

std::string text(double x, double y, const std::string& words, const char* kind) {
  return "<text class=\"" + std::string(kind) + "\" x=\"" + number(x) + "\" y=\"" + number(y) +
         "\">" + xmlEscaped(words) + "</text>\n";
}

bool fits(const std::string& words, double width) {
  return static_cast<double>(words.size()) * kTextSize * kTextWidthShare <= width;
}

/// Mark and length where there is room, the mark alone, or nothing: the table has them all.
std::string label(const std::string& mark, double length_mm, double width) {
  const std::string both = mark + " " + shown(length_mm, 1);
  return fits(both, width) ? both : fits(mark, width) ? mark : "";
}

bool isSameBar(const StockBar& one, const StockBar& other) {
  return one.stock_mm == other.stock_mm &&
         std::equal(one.cuts.begin(), one.cuts.end(), other.cuts.begin(), other.cuts.end(),
                    [](const StockCut& p, const StockCut& q) {
                      return p.mark == q.mark && p.length_mm == q.length_mm;
                    });
}

/// Draws from the top down.
class Picture {
 public:
  explicit Picture(double longest_mm)
      : scale_((kWidth - 2 * kMargin - kNumberWidth) / std::max(longest_mm, 1.0)) {}

  void draw(const StockGroup& group) {
    const StockPlan& plan = group.plan;
    constexpr double kPercent = 100;
    y_ += kHeadHeight;
    const std::size_t count = plan.bars.size();
    const std::string proof =
        plan.is_proved ? "no plan buys less"
                       : "at most " + shown(kPercent * plan.gap_share, 1) + " % over the least";
    body_ += text(kMargin, y_ - kTextSize,
                  group.section + ", " + group.material + ": " + std::to_string(count) +
                      (count == 1 ? " bar, " : " bars, ") + shown(plan.bought_mm / kMmPerM, 2) +
                      " m, " + shown(kPercent * plan.waste_share, 1) + " % left over; " + proof,
                  "head");
    for (std::size_t i = 0; i < count;) {
      std::size_t alike = 1;
      while (i + alike < count && isSameBar(plan.bars[i], plan.bars[i + alike])) {
        ++alike;
      }
      drawBar(plan.bars[i], alike);
      i += alike;
    }
    for (const StockPiece& piece : plan.too_long) {
      body_ +=
          text(kMargin, y_ + kTextSize,
               piece.mark + " " + shown(piece.length_mm, 1) + " is longer than any bar", "head");
      y_ += kBarStep;
    }
  }

  std::string svg() const {
    const std::string height = number(y_ + kMargin);
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
           "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " +
           number(kWidth) + " " + height + "\" width=\"" + number(kWidth) + "\" height=\"" +
           height +
           "\" role=\"img\">\n<title>Stock plan</title>\n<defs><pattern id=\"left\" width=\"8\" "
           "height=\"8\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path "
           "d=\"M0 0V8\" stroke=\"#9aa4aa\" stroke-width=\"2\"/></pattern></defs>\n<style>\n"
           "text{font-family:\"DejaVu Sans\",Verdana,Arial,sans-serif;font-size:13px;"
           "fill:#26313a}\n.head{font-size:16px;font-weight:bold}\n"
           ".piece{fill:#dfe7ec;stroke:#26313a;stroke-width:1}\n"
           ".trim{fill:#b8701a}\n.offcut{fill:url(#left);stroke:#7b868d;stroke-width:1}\n"
           "</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n" +
           body_ + "</svg>\n";
  }

 private:
  void drawBar(const StockBar& bar, std::size_t alike) {
    const double left = kMargin + kNumberWidth;
    const double base = y_ + kBarHeight / 2 + kTextSize / 3;
    body_ += text(kMargin, base, std::to_string(alike) + " x " + shown(bar.stock_mm), "number");
    const double trim = bar.cuts.front().from_mm * scale_;
    if (trim > 0) {
      body_ += rectangle(left, y_, trim, "trim");
    }
    for (const StockCut& cut : bar.cuts) {
      const double width = cut.length_mm * scale_;
      const double x = left + cut.from_mm * scale_;
      body_ += rectangle(x, y_, width, "piece");
      const std::string words = label(cut.mark, cut.length_mm, width);
      if (!words.empty()) {
        body_ += text(x + 3, base, words, "piece-text");
      }
    }
    if (bar.offcut_mm > 0) {
      const double width = bar.offcut_mm * scale_;
      const double x = left + (bar.stock_mm - bar.offcut_mm) * scale_;
      body_ += rectangle(x, y_, width, "offcut");
      const std::string words = shown(bar.offcut_mm, 1);
      if (fits(words, width)) {
        body_ += "<rect fill=\"#fff\" x=\"" + number(x + 2) + "\" y=\"" + number(y_ + 6) +
                 "\" width=\"" +
                 number(static_cast<double>(words.size()) * kTextSize * kTextWidthShare + 4) +
                 "\" height=\"" + number(kBarHeight - 12) + "\"/>\n";
        body_ += text(x + 4, base, words, "offcut-text");
      }
    }
    y_ += kBarStep;
  }

  double scale_;
  double y_ = 0;
  std::string body_;
};

}  // namespace

std::string stockPictureSvg(const std::vector<StockGroup>& groups) {
  double longest = 0;
  for (const StockGroup& group : groups) {
    for (const StockBar& bar : group.plan.bars) {
      longest = std::max(longest, bar.stock_mm);
    }
  }
  Picture picture(longest);
  for (const StockGroup& group : groups) {
    picture.draw(group);
  }
  return picture.svg();
}

}  // namespace leafstack
