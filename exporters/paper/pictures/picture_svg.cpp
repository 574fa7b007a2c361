#include <algorithm>
#include <cmath>
#include <numbers>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/utf8.h"
#include "exporters/paper/pictures/picture.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr std::size_t kTitleCharacters = 70;
/// Longer titles are lettered smaller: the gate climbs towards them.
constexpr double kTitleSize = 30, kLeastTitleSize = 16, kFullSizeCharacters = 36;

std::string coordinate(double value) {
  std::string text = fixedDecimals(value, 1);
  return text.ends_with(".0") ? text.substr(0, text.size() - 2) : text;
}

std::string hex(const Rgb8& colour) {
  static constexpr char kDigits[] = "0123456789abcdef";
  std::string text = "#";
  for (const int part : colour) {
    text += kDigits[part / 16];
    text += kDigits[part % 16];
  }
  return text;
}

/// Text as XML: on one line, marked-up characters escaped, and cut after `most` characters.
std::string xmlText(const std::string& given, std::size_t most) {
  const std::string text = printableLine(given);
  std::string out;
  std::size_t characters = 0;
  for (const char c : text) {
    const bool continues = (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
    if (!continues && ++characters > most) {
      return out + "\u2026";
    }
    if (c == '&') {
      out += "&amp;";
    } else if (c == '<') {
      out += "&lt;";
    } else if (c == '>') {
      out += "&gt;";
    } else {
      out += c;
    }
  }
  return out;
}

std::string path(const SheetLoop& points, bool closed) {
  std::string data;
  std::string last;
  int count = 0;
  for (const SheetPoint& point : points) {
    const std::string here = coordinate(point[0]) + " " + coordinate(point[1]);
    if (here != last) {
      data += (count++ == 0 ? "M" : "L") + here;
      last = here;
    }
  }
  return count < 2 ? std::string() : data + (closed ? "Z" : "");
}

std::string groupName(int panel) {
  return panel == 0 ? "site" : "panel-" + std::to_string(panel);
}

std::string fillsText(const PictureDrawing& drawing) {
  std::string out = "<g class=\"faces\">\n";
  int panel = -1;
  for (const PictureFill& fill : drawing.fills) {
    if (fill.panel != panel) {
      out += (panel < 0 ? "" : "</g>\n") + std::string("<g id=\"") + groupName(fill.panel) +
             "-faces\">\n";
      panel = fill.panel;
    }
    std::string data;
    for (const SheetLoop& loop : fill.loops) {
      data += path(loop, true);
    }
    const std::string colour = hex(fill.colour);
    out += "<path fill=\"" + colour + "\" stroke=\"" + colour + "\" d=\"" + data + "\"/>\n";
  }
  return out + (panel < 0 ? "" : "</g>\n") + "</g>\n";
}

std::string_view className(LineKind kind) {
  switch (kind) {
    case LineKind::kCrease:
      return "crease";
    case LineKind::kContour:
      return "contour";
    case LineKind::kRope:
      return "rope";
  }
  return "";
}

std::string linesText(const PictureDrawing& drawing, int panel) {
  std::string out;
  for (const LineKind kind : {LineKind::kRope, LineKind::kCrease, LineKind::kContour}) {
    std::string data;
    for (const PictureLine& line : drawing.lines) {
      if (line.kind == kind && line.panel == panel) {
        data += path(line.points, false);
      }
    }
    if (!data.empty()) {
      out += "<path class=\"" + std::string(className(kind)) + "\" d=\"" + data + "\"/>\n";
    }
  }
  return out.empty() ? out : "<g id=\"" + groupName(panel) + "-lines\">\n" + out + "</g>\n";
}

std::string lineElement(const SheetPoint& a, const SheetPoint& b) {
  return "<path d=\"" + path({a, b}, false) + "\"/>\n";
}

/// A measuring line with its witness lines, ticks and text, all along the ground.
std::string measureText(const PictureMeasure& m) {
  const double dx = m.to[0] - m.from[0];
  const double dy = m.to[1] - m.from[1];
  double angle = std::atan2(dy, dx) * 180 / std::numbers::pi;
  if (std::abs(angle) > 90) {
    angle += angle > 0 ? -180 : 180;  // lettering reads from the left
  }
  constexpr double kPast = 0.06;
  const auto beyond = [&](const SheetPoint& witness, const SheetPoint& end) {
    return SheetPoint{end[0] + kPast * (end[0] - witness[0]),
                      end[1] + kPast * (end[1] - witness[1])};
  };
  std::string out = lineElement(m.witness_from, beyond(m.witness_from, m.from)) +
                    lineElement(m.witness_to, beyond(m.witness_to, m.to)) +
                    lineElement(m.from, m.to);
  for (const SheetPoint& end : {m.from, m.to}) {
    out += lineElement({end[0] - 4, end[1] + 5}, {end[0] + 4, end[1] - 5});
  }
  out += "<text text-anchor=\"middle\" transform=\"translate(" +
         coordinate((m.from[0] + m.to[0]) / 2) + " " + coordinate((m.from[1] + m.to[1]) / 2) +
         ") rotate(" + coordinate(angle) + ")\" y=\"20\">" + m.text + "</text>\n";
  return out;
}

std::string figures(const Model& model) {
  const Layout& layout = model.layout;
  std::string text =
      std::to_string(layout.panel_count) + (layout.panel_count == 1 ? " panel" : " panels");
  text += " \u00b7 opening " + shown(std::round(layout.opening_mm)) + " mm \u00b7 room " +
          shown(std::round(layout.room_total_mm)) + " mm \u00b7 height " +
          shown(std::round(layout.heights.top_mm)) + " mm";
  return text + (model.opening_sign > 0 ? " \u00b7 opens right" : " \u00b7 opens left");
}

constexpr std::string_view kStyle =
    "<style>\n"
    "text{font-family:\"DejaVu Sans\",Verdana,Arial,sans-serif;fill:#26313a}\n"
    ".faces path{fill-rule:evenodd;stroke-width:.5;stroke-linejoin:round}\n"
    ".lines path{fill:none;stroke:#1d2830;stroke-linecap:round;stroke-linejoin:round}\n"
    ".lines .crease{stroke-width:.4;stroke-opacity:.6}\n"
    ".lines .contour{stroke-width:.8}\n"
    ".lines .rope{stroke:#b8701a;stroke-width:1.1}\n"
    ".measures path{fill:none;stroke:#7b868d;stroke-width:.9}\n"
    ".measures text{font-size:17px;fill:#4a555c}\n"
    "</style>\n";

std::string titleBlock(const Model& model, const PictureDrawing& drawing, double drive_mm) {
  const bool right = drawing.is_mirrored;
  const double x = right ? drawing.width - 36 : 36;
  const std::string title =
      model.spec.job.title.empty() ? "Telescopic sliding gate" : model.spec.job.title;
  const double title_size =
      std::clamp(kTitleSize * kFullSizeCharacters / static_cast<double>(title.size()),
                 kLeastTitleSize, kTitleSize);
  const auto line = [&](double y, const std::string& size, const std::string& text) {
    return "<text x=\"" + coordinate(x) + "\" y=\"" + coordinate(y) + "\" " + size +
           (right ? " text-anchor=\"end\"" : "") + ">" + text + "</text>\n";
  };
  return "<g class=\"legend\">\n" +
         line(58, "font-size=\"" + coordinate(title_size) + "\" font-weight=\"bold\"",
              xmlText(title, kTitleCharacters)) +
         line(88, "font-size=\"20\"", travelState(model, drive_mm)) +
         line(116, "font-size=\"17\"", figures(model)) + "</g>\n";
}

}  // namespace

std::string pictureSvg(const Model& model, double drive_mm, const PictureDrawing& drawing) {
  const std::string size = coordinate(drawing.width) + " " + coordinate(drawing.height);
  std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
  out += "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " + size + "\" width=\"" +
         coordinate(drawing.width) + "\" height=\"" + coordinate(drawing.height) +
         "\" role=\"img\">\n";
  const std::string title =
      model.spec.job.title.empty() ? "Telescopic sliding gate" : model.spec.job.title;
  out += "<title>" + xmlText(title, kTitleCharacters) + ", " + travelState(model, drive_mm) +
         "</title>\n" + std::string(kStyle);
  out += "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n";
  out += fillsText(drawing) + "<g class=\"lines\">\n";
  for (int panel = 0; panel <= model.layout.panel_count; ++panel) {
    out += linesText(drawing, panel);
  }
  out += "</g>\n<g class=\"measures\">\n";
  for (const PictureMeasure& measure : drawing.measures) {
    out += measureText(measure);
  }
  return out + "</g>\n" + titleBlock(model, drawing, drive_mm) + "</svg>\n";
}

}  // namespace leafstack
