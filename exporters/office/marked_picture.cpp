#include "exporters/office/marked_picture.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/xml_text.h"
#include "exporters/paper/views/solids/picture_view.h"

namespace leafstack {
namespace {

constexpr double kMarkRadius = 15;
// Of labels beside their places, in pixels.
constexpr double kLetterWide = 13, kLabelMargin = 14, kLabelHigh = 30, kFromEdge = 2;
constexpr std::array<std::array<double, 2>, 14> kBeside = {{{0, -50},
                                                            {0, 50},
                                                            {70, -40},
                                                            {-70, -40},
                                                            {70, 40},
                                                            {-70, 40},
                                                            {0, -90},
                                                            {0, 90},
                                                            {140, -60},
                                                            {-140, -60},
                                                            {140, 60},
                                                            {-140, 60},
                                                            {90, -110},
                                                            {-90, -110}}};

}  // namespace

std::string markedPicture(const ClosedPicture& picture, double opening_sign,
                          const std::vector<PictureMark>& marks) {
  const PictureView view = roadView(opening_sign);
  const auto& [units_per_mm, left_mm, top_mm] = picture.scale;
  std::vector<std::array<double, 2>> taken;
  std::string lines, discs;  // lines lie under all discs
  const std::string head =
      "<g font-family=\"DejaVu Sans,Verdana,Arial,sans-serif\" font-size=\"17\" "
      "font-weight=\"bold\" text-anchor=\"middle\">\n";
  for (const PictureMark& mark : marks) {
    const Vec3 at = seen(view, mark.at_mm);
    const std::array<double, 2> place = {(at[0] - left_mm) * units_per_mm,
                                         (top_mm - at[1]) * units_per_mm};
    std::array<double, 2> shown_at = place;
    const auto isTaken = [&] {
      for (const auto& other : taken) {
        if (std::hypot(other[0] - shown_at[0], other[1] - shown_at[1]) < 2 * kMarkRadius + 2) {
          return true;
        }
      }
      return false;
    };
    while (isTaken()) {
      shown_at[0] += 2 * kMarkRadius + 3;
    }
    taken.push_back(shown_at);
    const std::string x = fixedDecimals(shown_at[0], 1), y = fixedDecimals(shown_at[1], 1);
    if (shown_at != place) {
      lines += "<path stroke=\"#c0392b\" stroke-width=\"1.5\" d=\"M" + fixedDecimals(place[0], 1) +
               " " + fixedDecimals(place[1], 1) + "L" + x + " " + y + "\"/>\n";
    }
    const std::string box = fixedDecimals(2 * kMarkRadius - 2, 1);
    discs += mark.is_square ? "<rect x=\"" + fixedDecimals(shown_at[0] - kMarkRadius + 1, 1) +
                                  "\" y=\"" + fixedDecimals(shown_at[1] - kMarkRadius + 1, 1) +
                                  "\" width=\"" + box + "\" height=\"" + box +
                                  "\" fill=\"#fff\" stroke=\"#1f4e79\" "
                                  "stroke-width=\"2\"/>\n"
                            : "<circle cx=\"" + x + "\" cy=\"" + y + "\" r=\"" +
                                  fixedDecimals(kMarkRadius, 1) +
                                  "\" fill=\"#fff\" stroke=\"#c0392b\" stroke-width=\"2\"/>\n";
    discs += "<text x=\"" + x + "\" y=\"" + fixedDecimals(shown_at[1] + 6, 1) + "\">" +
             xmlEscaped(mark.text) + "</text>\n";
  }
  const std::string out = head + lines + discs + "</g>\n";
  std::string svg = picture.svg;
  const std::size_t end = svg.rfind("</svg>");
  return svg.insert(end == std::string::npos ? svg.size() : end, out);
}

std::string spotLabels(int across, int high, const std::vector<SpotLabel>& labels) {
  struct Taken {
    double x, y, half_wide;
  };
  std::vector<Taken> taken;
  std::string lines, boxes;
  for (const SpotLabel& label : labels) {
    const double half = (kLetterWide * static_cast<double>(label.text.size()) + kLabelMargin) / 2;
    const auto fits = [&](double x, double y) {
      const bool is_inside = x - half > kFromEdge && x + half < across - kFromEdge &&
                             y - kLabelHigh / 2 > kFromEdge &&
                             y + kLabelHigh / 2 < high - kFromEdge;
      return is_inside && std::none_of(taken.begin(), taken.end(), [&](const Taken& other) {
               return std::abs(other.x - x) < other.half_wide + half &&
                      std::abs(other.y - y) < kLabelHigh;
             });
    };
    const auto place = std::find_if(kBeside.begin(), kBeside.end(), [&](const auto& by) {
      return fits(label.x + by[0], label.y + by[1]);
    });
    if (place == kBeside.end()) {
      continue;
    }
    const double x = label.x + (*place)[0], y = label.y + (*place)[1];
    taken.push_back({x, y, half});
    lines += "<path stroke=\"#1f2a31\" stroke-width=\"2\" d=\"M" + fixedDecimals(label.x, 1) + " " +
             fixedDecimals(label.y, 1) + "L" + fixedDecimals(x, 1) + " " + fixedDecimals(y, 1) +
             "\"/>\n";
    boxes += "<rect x=\"" + fixedDecimals(x - half, 1) + "\" y=\"" +
             fixedDecimals(y - kLabelHigh / 2, 1) + "\" width=\"" + fixedDecimals(2 * half, 1) +
             "\" height=\"" + fixedDecimals(kLabelHigh, 1) +
             "\" fill=\"#fff\" stroke=\"#1f2a31\" stroke-width=\"1.5\"/>\n<text x=\"" +
             fixedDecimals(x, 1) + "\" y=\"" + fixedDecimals(y + 7, 1) + "\">" +
             xmlEscaped(label.text) + "</text>\n";
  }
  return "<svg viewBox=\"0 0 " + std::to_string(across) + " " + std::to_string(high) +
         "\" font-family=\"DejaVu Sans,Verdana,Arial,sans-serif\" font-size=\"20\" "
         "font-weight=\"bold\" text-anchor=\"middle\">\n" +
         lines + boxes + "</svg>\n";
}

}  // namespace leafstack
