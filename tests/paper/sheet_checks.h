// Properties of any drawing sheet (S1 to S3 of sheet.h), for the tests of all sheets.
#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "exporters/paper/sheet/paper.h"
#include "generator/geometry/triangles.h"

namespace leafstack::sheets {

struct Words {
  std::string text;
  PaperBox box;
};

inline std::vector<Words> wordsOn(const Sheet& sheet) {
  std::vector<Words> words;
  for (const Lettering& lettering : sheet.letterings) {
    words.push_back({lettering.text, boxOf(lettering)});
  }
  for (const Dimension& dimension : sheet.dimensions) {
    words.push_back({dimension.text(), boxOf(drawn(dimension).text)});
  }
  return words;
}

/// Complaints about a sheet's lettering, S1; the sheet's own name with each.
inline void checkWords(const Sheet& sheet, std::vector<std::string>& complaints) {
  const std::vector<Words> words = wordsOn(sheet);
  // ISO 5457: nothing outside the grid, 5 mm from the trimmed edge (15 mm where it is bound).
  const PaperBox frame = {15, 5, sheet.width_mm - 5, sheet.height_mm - 5};
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (!frame.holds(words[i].box)) {
      complaints.push_back(sheet.name + ": \"" + words[i].text + "\" leaves the frame");
    }
    for (std::size_t j = i + 1; j < words.size(); ++j) {
      if (words[i].box.overlaps(words[j].box)) {
        complaints.push_back(sheet.name + ": \"" + words[i].text + "\" on \"" + words[j].text +
                             "\"");
      }
    }
  }
  for (const Dimension& dimension : sheet.dimensions) {
    for (const Path& line : drawn(dimension).lines) {
      for (std::size_t k = 0; k + 1 < line.vertices.size(); ++k) {
        const PathVertex& a = line.vertices[k];
        const PathVertex& b = line.vertices[k + 1];
        for (const Words& one : words) {
          if (a.bulge == 0 && crosses({{a.x_mm, a.y_mm}, {b.x_mm, b.y_mm}}, one.box)) {
            complaints.push_back(sheet.name + ": a line of " + dimension.text() + " crosses \"" +
                                 one.text + "\"");
          }
        }
      }
    }
  }
}

/// S2 and S3.
inline void checkDimensions(const Sheet& sheet, std::vector<std::string>& complaints) {
  constexpr double kRoundingMm = 1e-6;
  for (const Dimension& one : sheet.dimensions) {
    const double apart = std::abs(dot(minus(one.model[1], one.model[0]), one.model_along));
    const double half_digit = 0.5 * std::pow(10.0, -one.decimals);
    // The printed number, read back from between prefix and suffix.
    const std::string text = one.text();
    const std::string number =
        text.substr(one.prefix.size(), text.size() - one.prefix.size() - one.suffix.size());
    const bool may_count_back = one.kind == DimensionKind::kRunning;
    const double said = may_count_back ? std::abs(std::stod(number)) : std::stod(number);
    if (std::abs(said - apart) > half_digit + kRoundingMm) {
      complaints.push_back(sheet.name + ": " + text + " is " + std::to_string(apart));
    }
    const double radians = one.angle_deg * std::acos(-1.0) / 180;
    const double on_paper = std::abs((one.to.x_mm - one.from.x_mm) * std::cos(radians) +
                                     (one.to.y_mm - one.from.y_mm) * std::sin(radians));
    if (std::abs(on_paper * one.mm_per_mm - apart) > kRoundingMm * one.mm_per_mm) {
      complaints.push_back(sheet.name + ": " + text + " is drawn as " +
                           std::to_string(on_paper * one.mm_per_mm));
    }
  }
}

inline std::string firstOf(const std::vector<std::string>& complaints) {
  std::string text;
  for (std::size_t i = 0; i < std::min<std::size_t>(complaints.size(), 8); ++i) {
    text += complaints[i] + "\n";
  }
  return text;
}

}  // namespace leafstack::sheets
