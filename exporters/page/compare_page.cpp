#include "exporters/page/compare_page.h"

#include <vector>

#include "exporters/bytes/rounding.h"
#include "exporters/bytes/xml_text.h"
#include "generator/cures/judged.h"
#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

using Cells = std::vector<std::string>;

/// Cells of these columns are numbers.
bool isNumber(std::size_t column) {
  return column == 0 || column == 2 || column >= 6;
}

std::string choiceRow(const Cells& cells, const char* tag) {
  std::string out = "<tr>";
  for (std::size_t i = 0; i < cells.size(); ++i) {
    out += std::string("<") + tag + (isNumber(i) ? " class=\"n\">" : ">");
    out += xmlEscaped(cells[i]) + "</" + tag + ">";
  }
  return out + "</tr>\n";
}

std::string fitText(const Arrangement& made, bool vouched) {
  if (!made.problems.empty()) {
    return made.problems.front().pointer + ": " + made.problems.front().text;
  }
  if (!made.margin_mm) {
    return "no room given";
  }
  if (made.fits) {
    return shown(*made.margin_mm, 1) + (vouched ? " left" : " left by arithmetic");
  }
  std::string text = shown(-*made.margin_mm, 1) + " short";
  if (!made.fixes.empty()) {
    text += "; would fit: " + made.fixes.front().text;
  }
  return text;
}

/// Back to front.
std::string lengthsText(const Arrangement& made) {
  std::string text;
  for (const double length : made.panel_length_mm) {
    text += text.empty() ? "" : " + ";
    text += shown(length, 0);
  }
  return text;
}

bool isSame(const ArrangementChoice& one, const ArrangementChoice& other) {
  return one.panels == other.panels && (one.panels < 3 || one.stacking == other.stacking) &&
         one.mount == other.mount && one.motor.name == other.motor.name;
}

/// Best arrangements told, beside the gate itself.
constexpr int kTold = 5;

}  // namespace

std::string comparisonSection(const SiteComparison& comparison, const ArrangementChoice& built) {
  std::string out =
      "<h2>Which gate fits this site</h2>\n<p>" + xmlEscaped(comparison.why) + "</p>\n";
  for (const std::string& note : comparison.notes) {
    out += "<p class=\"note\">Note: " + xmlEscaped(note) + "</p>\n";
  }
  const bool digs = comparison.spec.site.bank != 0;
  Cells head = {"",           "arrangement", "room, mm",    "fits",  "what binds",
                "panels, mm", "mass, kg",    "to start, N", "ratio", "ropes"};
  if (digs) {
    head.emplace_back("dug, m3");
  }
  out += "<table>\n" + choiceRow(head, "th");
  std::size_t left_out = 0;
  for (const int index : comparison.ranked) {
    const Arrangement& made = comparison.arrangements[index];
    if (made.rank > kTold && !isSame(made.choice, built)) {
      ++left_out;
      continue;
    }
    std::string name = nameOf(made.choice);
    if (isSame(made.choice, built)) {
      name += " (this gate)";
    }
    for (const Hazard hazard : made.hazards) {
      name += "; ";
      name += meaningOf(hazard);
    }
    if (made.isUnready()) {
      name += "; NOT READY: " + made.verdict->reasons.front().text;
    } else if (made.fits && !made.verdict) {
      name += "; not built: whether it is ready is for check to say";
    }
    Cells cells = {std::to_string(made.rank),
                   name,
                   shown(made.room_total_mm, 1),
                   fitText(made, comparison.vouched),
                   std::string(ruleOf(made.binding).id),
                   lengthsText(made),
                   shown(made.mass_kg, 0),
                   shown(made.drive.required_force_N, 0),
                   fixedDecimals(made.drive.ratio_to_single, 2),
                   std::to_string(made.ropes)};
    if (digs) {
      cells.push_back(fixedDecimals(made.pocket_m3, 2));
    }
    out += choiceRow(cells, "td");
  }
  out += "</table>\n";
  if (left_out > 0) {
    out += "<p class=\"note\">" + std::to_string(left_out) +
           " more are told by leafstack compare --all.</p>\n";
  }
  return out +
         "<p class=\"note\">Masses here are estimates from sections and lengths; of two numbers in "
         "this page the calculation sheet's, from solids, is the better. Ratio: force beside that "
         "of one panel of the same mass.</p>\n";
}

std::string comparisonSection(const GateSpec& spec, int panels) {
  SiteComparison comparison = compareArrangements(spec);
  // Beside the gate that is built here others are told of, not chosen among: a few are enough.
  JudgeOptions few;
  few.most_instances = 2'000;
  few.most_pairs = 0;
  judgeArrangements(comparison, few);
  return comparisonSection(comparison, {panels, spec.gate.stacking, spec.guides.mount,
                                        spec.drive.motor, spec.hardware.motor});
}

}  // namespace leafstack
