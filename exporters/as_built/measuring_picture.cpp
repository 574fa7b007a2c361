#include "exporters/as_built/measuring_picture.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "exporters/bytes/xml_text.h"
#include "exporters/office/html.h"
#include "generator/as_built/built/measures.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kWide = 900, kHigh = 250, kMargin = 60;

/// A picture whose lengths are px; what is measured is labelled in letters.
class Picture {
 public:
  explicit Picture(double high) : high_(high) {}

  void line(double x0, double y0, double x1, double y1, const char* kind = "o") {
    out_ += "<line class=\"" + std::string(kind) + "\" x1=\"" + shown(x0, 1) + "\" y1=\"" +
            shown(y0, 1) + "\" x2=\"" + shown(x1, 1) + "\" y2=\"" + shown(y1, 1) + "\"/>\n";
  }
  void box(double x0, double y0, double x1, double y1) {
    out_ += "<rect class=\"o\" x=\"" + shown(std::min(x0, x1), 1) + "\" y=\"" +
            shown(std::min(y0, y1), 1) + "\" width=\"" + shown(std::abs(x1 - x0), 1) +
            "\" height=\"" + shown(std::abs(y1 - y0), 1) + "\"/>\n";
  }
  void circle(double x, double y, double r) {
    out_ += "<circle class=\"o\" cx=\"" + shown(x, 1) + "\" cy=\"" + shown(y, 1) + "\" r=\"" +
            shown(r, 1) + "\"/>\n";
  }
  void letter(double x, double y, const std::string& text) {
    out_ += "<circle class=\"b\" cx=\"" + shown(x, 1) + "\" cy=\"" + shown(y, 1) +
            "\" r=\"9\"/>\n<text x=\"" + shown(x, 1) + "\" y=\"" + shown(y + 4.5, 1) + "\">" +
            xmlEscaped(text) + "</text>\n";
  }
  /// A dimension line between two points, its letter in the middle or where `at` (0 to 1) says.
  void dimension(double x0, double y0, double x1, double y1, const std::string& text,
                 double at = 0.5) {
    line(x0, y0, x1, y1, "d");
    const double length = std::hypot(x1 - x0, y1 - y0);
    const double tx = length > 0 ? (y1 - y0) / length * 5 : 0;
    const double ty = length > 0 ? (x1 - x0) / length * 5 : 5;
    line(x0 - tx, y0 + ty, x0 + tx, y0 - ty, "d");
    line(x1 - tx, y1 + ty, x1 + tx, y1 - ty, "d");
    letter(x0 + (x1 - x0) * at, y0 + (y1 - y0) * at, text);
  }
  std::string svg() const {
    return "<svg class=\"measure\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " +
           shown(kWide, 0) + " " + shown(high_, 0) +
           "\">\n<style>.measure .o{fill:none;stroke:#1f2a31;stroke-width:1.6}.measure "
           ".d{stroke:#b8701a;"
           "stroke-width:1}.measure .b{fill:#fff;stroke:#b8701a}.measure text{font:bold 12px "
           "sans-serif;"
           "text-anchor:middle;fill:#1f2a31}</style>\n" +
           out_ + "</svg>\n";
  }

 private:
  double high_;
  std::string out_;
};

/// The letter of a key; "" where it is not measured on this gate.
std::string letterOf(const std::vector<Measure>& all, int panel, const std::string& key) {
  const auto found = std::find_if(all.begin(), all.end(), [&](const Measure& one) {
    return one.panel == panel && one.key == key;
  });
  return found == all.end() ? "" : found->letter;
}

}  // namespace

std::string sitePicture(const GateSpec& spec, const Layout& layout) {
  const std::vector<Measure> all = measuresOf(spec, layout);
  const double from = -spec.site.fence_post_mm - 150;
  const double to = std::max(layout.pinion_mm, layout.guide_post_mm) + 500;
  const double ground = 190, top = 40;
  const auto x = [&](double mm) {
    return kMargin + (mm - from) / (to - from) * (kWide - 2 * kMargin);
  };
  Picture picture(320);
  picture.line(x(from), ground, x(to), ground);
  picture.box(x(-spec.site.fence_post_mm), top, x(0), ground);
  picture.box(x(layout.opening_mm), top, x(layout.opening_mm + spec.site.fence_post_mm), ground);
  const auto along = [&](const char* key, double mm, double y) {
    const std::string letter = letterOf(all, 0, key);
    if (!letter.empty()) {
      picture.line(x(mm), ground - 30, x(mm), y + 4, "d");
      picture.dimension(x(0), y, x(mm), y, letter);
    }
  };
  const auto upright = [&](const char* key, double mm, double y) {
    const std::string letter = letterOf(all, 0, key);
    if (!letter.empty()) {
      picture.dimension(x(mm), ground, x(mm), y, letter, 0.6);
    }
  };
  const double guide = layout.guide_mm;
  picture.box(x(guide) - 5, top + 25, x(guide) + 5, top + 60);
  picture.line(x(guide), top + 60, x(guide), ground);
  picture.circle(x(layout.pinion_mm), ground - 40, 11);
  picture.box(x(layout.pinion_mm) - 20, ground - 28, x(layout.pinion_mm) + 20, ground);
  const double buffer = x(0) + 14;
  picture.box(buffer - 6, ground - 60, buffer, ground - 20);
  picture.box(buffer - 6, top + 20, buffer + 12, top + 50);
  along("opening_mm", layout.opening_mm, 215);
  along("guide_mm", guide, 240);
  along("pinion_mm", layout.pinion_mm, 265);
  along("ground_bracket_mm", layout.ground_bracket_mm, 290);
  if (!letterOf(all, 0, "ground_bracket_mm").empty()) {
    picture.box(x(layout.ground_bracket_mm) - 4, ground - 22, x(layout.ground_bracket_mm) + 4,
                ground);
  }
  picture.letter(buffer + 12, ground - 42, letterOf(all, 0, "catch_mm"));
  picture.letter(x(guide) - 20, top + 20, letterOf(all, 0, "guide_top_mm"));
  picture.letter(x(layout.pinion_mm) + 26, ground - 46, letterOf(all, 0, "pinion_up_mm"));
  upright("receiver_top_mm", 0.06 * layout.opening_mm, top + 20);
  return picture.svg();
}

std::string panelPicture(const Layout& layout, int panel) {
  GateSpec spec;  // letters hang on the layout alone
  const std::vector<Measure> all = measuresOf(spec, layout);
  const PanelLayout& row = layout.panel(panel);
  const auto letter = [&](PanelMeasure what) {
    static constexpr std::array<const char*, kPanelMeasures> kKeys = {"length_mm",
                                                                      "frame_mm",
                                                                      "leading_height_mm",
                                                                      "trailing_height_mm",
                                                                      "rising_diagonal_mm",
                                                                      "falling_diagonal_mm",
                                                                      "bow_mm",
                                                                      "leading_pulley_mm",
                                                                      "trailing_pulley_mm",
                                                                      "front_bracket_mm",
                                                                      "stop_mm"};
    return letterOf(all, panel, kKeys[static_cast<std::size_t>(what)]);
  };
  const double scale = (kWide - 2 * kMargin - 60) / row.length_mm;
  const double left = kMargin, right = left + row.length_mm * scale;
  const double frame = left + row.frame_length_mm * scale;
  const double top = 30, low = 170;
  Picture picture(kHigh + 40);
  picture.box(left, low - 14, right, low);
  picture.box(left, top, frame, low - 14);
  picture.box(left, top, frame, top + 9);
  picture.dimension(left, low + 40, right, low + 40, letter(PanelMeasure::kLength));
  if (!letter(PanelMeasure::kFrame).empty()) {
    picture.dimension(left, top - 14, frame, top - 14, letter(PanelMeasure::kFrame));
  }
  picture.dimension(left - 22, low, left - 22, top, letter(PanelMeasure::kLeadingHeight));
  picture.dimension(frame + 22, low, frame + 22, top, letter(PanelMeasure::kTrailingHeight));
  picture.dimension(left, low, frame, top, letter(PanelMeasure::kRisingDiagonal), 0.3);
  picture.dimension(left, top, frame, low, letter(PanelMeasure::kFallingDiagonal), 0.7);
  picture.letter((left + right) / 2, low + 14, letter(PanelMeasure::kBow));
  if (!letter(PanelMeasure::kLeadingPulley).empty()) {
    const double first = left + layout.pulley_inset_mm * scale;
    const double last = right - layout.pulley_inset_mm * scale;
    picture.circle(first, low - 7, 6);
    picture.circle(last, low - 7, 6);
    picture.dimension(left, low + 65, first, low + 65, letter(PanelMeasure::kLeadingPulley), 3);
    picture.dimension(left, low + 90, last, low + 90, letter(PanelMeasure::kTrailingPulley));
  }
  if (!letter(PanelMeasure::kFrontBracket).empty()) {
    picture.box(right + 2, low - 14, right + 8, low);
    picture.dimension(left, low + 112, right + 5, low + 112, letter(PanelMeasure::kFrontBracket));
  }
  picture.box(right + 26, low - 30, right + 30, low);
  picture.letter(right + 42, low - 24, letter(PanelMeasure::kStop));
  return picture.svg();
}

std::string trackTable(const Layout& layout) {
  constexpr int kPlaces = 7;
  office::Cells head = {"track"};
  std::vector<office::Cells> rows;
  const double from = layout.panels.back().leading_closed_mm;
  double to = 0;
  for (const PanelLayout& panel : layout.panels) {
    to = std::max(to, panel.trailing_open_mm);
  }
  for (int i = 0; i < kPlaces; ++i) {
    head.push_back(">X " + shown(from + (to - from) * i / (kPlaces - 1), 0));
  }
  for (const PanelLayout& panel : layout.panels) {
    office::Cells row = {std::to_string(panel.number)};
    row.resize(kPlaces + 1);
    rows.push_back(row);
  }
  return office::table(head, rows, "form");
}

}  // namespace leafstack
