#include "exporters/lists/compare/compare_table.h"

#include <algorithm>
#include <sstream>
#include <vector>

#include "exporters/bytes/rounding.h"
#include "exporters/lists/text/plain_text.h"
#include "generator/geometry/numbers.h"
#include "generator/verdict/warnings.h"

namespace leafstack {
namespace {

struct Column {
  std::string head;
  bool is_number = true;
  std::vector<std::string> cells = {};
};

std::string rowsOf(const std::vector<Column>& columns) {
  std::vector<std::size_t> widths;
  for (const Column& column : columns) {
    std::size_t width = column.head.size();
    for (const std::string& cell : column.cells) {
      width = std::max(width, cell.size());
    }
    widths.push_back(width);
  }
  std::string out;
  for (std::size_t row = 0; row <= columns.front().cells.size(); ++row) {
    std::string line = " ";
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const Column& column = columns[i];
      line +=
          " " + padded(row == 0 ? column.head : column.cells[row - 1], widths[i], column.is_number);
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
  }
  return out;
}

/// One letter a hazard.
char letterOf(Hazard hazard) {
  switch (hazard) {
    case Hazard::kRunsAway:
      return 'R';
    case Hazard::kMotorWeak:
      return 'M';
    case Hazard::kRopeWeak:
      return 'W';
    case Hazard::kBracketShows:
      return 'V';
  }
  return ' ';
}

constexpr Hazard kHazards[] = {Hazard::kRunsAway, Hazard::kMotorWeak, Hazard::kRopeWeak,
                               Hazard::kBracketShows};

/// Whole mm where it says enough.
std::string millimetres(double value) {
  return shown(value, 1);
}

std::string leftOf(const Arrangement& made) {
  if (!made.laid_out) {
    return "no";
  }
  return made.margin_mm ? millimetres(*made.margin_mm) : "-";
}

std::string hazardLetters(const Arrangement& made) {
  std::string letters;
  for (const Hazard hazard : made.hazards) {
    letters += letterOf(hazard);
  }
  return made.laid_out && !made.problems.empty() ? letters + "?" : letters;
}

/// What some tables have and others not.
struct Extras {
  bool digs = false, costs = false;
  bool tells_ratio = true;  ///< kCompareWidth does not hold everything
};

/// + fits and is ready, ~ the same by arithmetic alone, x is not ready, o was not looked at, - does
/// not fit.
std::string rankText(const SiteComparison& comparison, const Arrangement& made) {
  const char* fits = comparison.vouched ? " +" : " ~";
  const char* mark = !made.fits ? " -" : made.isUnready() ? " x" : made.isReady() ? fits : " o";
  return std::to_string(made.rank) + mark;
}

bool any(const SiteComparison& comparison, bool (*wanted)(const Arrangement&)) {
  return std::any_of(comparison.arrangements.begin(), comparison.arrangements.end(), wanted);
}

/// What the marks behind the ranks mean.
std::string marksText(const SiteComparison& comparison) {
  std::string text = comparison.vouched
                         ? "+ fits, holds, stays on its track and starts"
                         : "~ fits by arithmetic, holds, stays on its track and starts";
  if (any(comparison, [](const Arrangement& made) { return made.isUnready(); })) {
    text += "; x fits, is NOT READY";
  }
  if (any(comparison, [](const Arrangement& made) { return made.fits && !made.verdict; })) {
    text += "; o fits, not built";
  }
  if (any(comparison, [](const Arrangement& made) { return !made.fits; })) {
    text += "; - does not fit";
  }
  return text + "; ";
}

std::vector<std::string> cellsOf(const SiteComparison& comparison, const Arrangement& made,
                                 const Extras& extras) {
  const ArrangementChoice& choice = made.choice;
  std::vector<std::string> cells = {rankText(comparison, made),
                                    std::to_string(choice.panels),
                                    choice.panels < 3 ? "" : std::string(toString(choice.stacking)),
                                    std::string(toString(choice.mount)),
                                    std::string(choice.motorName()),
                                    millimetres(made.room_total_mm),
                                    leftOf(made),
                                    std::string(ruleOf(made.binding).id),
                                    shown(made.mass_kg, 0),
                                    shown(made.drive.required_force_N, 0)};
  if (extras.tells_ratio) {
    cells.push_back(fixedDecimals(made.drive.ratio_to_single, 2));
  }
  if (extras.digs) {
    cells.push_back(fixedDecimals(made.pocket_m3, 2));
  }
  if (extras.costs) {
    cells.push_back(made.cost ? shown(made.cost->total(), 0) : "");
  }
  cells.push_back(hazardLetters(made));
  return cells;
}

std::string table(const SiteComparison& comparison, const Extras& extras) {
  std::vector<Column> columns = {
      {""},     {"n"},    {"stacking", false}, {"mount", false}, {"motor", false},
      {"room"}, {"left"}, {"binds", false},    {"kg"},           {"start N"}};
  if (extras.tells_ratio) {
    columns.push_back({"ratio"});
  }
  if (extras.digs) {
    columns.push_back({"dug m3"});
  }
  if (extras.costs) {
    columns.push_back({"cost"});
  }
  columns.push_back({"!", false});
  for (const int index : comparison.ranked) {
    const std::vector<std::string> cells =
        cellsOf(comparison, comparison.arrangements[index], extras);
    for (std::size_t i = 0; i < columns.size(); ++i) {
      columns[i].cells.push_back(cells[i]);
    }
  }
  return rowsOf(columns);
}

std::size_t widthOf(const std::string& lines) {
  std::istringstream in(lines);
  std::size_t width = 0;
  for (std::string line; std::getline(in, line);) {
    width = std::max(width, line.size());
  }
  return width;
}

std::string legend(const SiteComparison& comparison, const Extras& extras) {
  std::string text = "mm; " + marksText(comparison) +
                     "n: panels; binds: what fixes the room; start N: force at the motor";
  text += extras.tells_ratio ? "; ratio: to one panel of the same mass." : ".";
  for (const Hazard hazard : kHazards) {
    const bool occurs = std::any_of(comparison.arrangements.begin(), comparison.arrangements.end(),
                                    [&](const Arrangement& made) { return made.has(hazard); });
    if (occurs) {
      text += std::string(" ") + letterOf(hazard) + ": ";
      text += std::string(meaningOf(hazard)) + ".";
    }
  }
  if (any(comparison,
          [](const Arrangement& made) { return made.laid_out && !made.problems.empty(); })) {
    text += " ?: a number given undercuts the layout's own, see below.";
  }
  return wrapped(text, "  ", "  ", kCompareWidth);
}

std::string siteText(const SiteComparison& comparison) {
  const SiteSpec& site = comparison.spec.site;
  std::string text = shown(site.opening_mm) + " mm opening, ";
  text += site.room_mm ? shown(*site.room_mm) + " mm of room beside it" : "room not given";
  text += ", opens to the ";
  text += site.opens == Hand::kRight ? "right" : "left";
  text += "; fence " + shown(site.fence_height_mm) + " mm, gate " +
          shown(comparison.spec.gate.height_mm) + " mm high";
  if (site.grade != 0) {
    text += "; grade " + shown(100 * site.grade) + " %";
  }
  if (site.bank != 0) {
    text += "; bank of " + shown(100 * site.bank) + " % beyond the opening";
  }
  return wrapped(text, "  ", "  ", kCompareWidth);
}

std::string costText(const Cost& cost, const std::string& currency) {
  std::string out = "\nCost" + (currency.empty() ? std::string() : " in " + currency) + "\n";
  std::vector<Column> columns = {{"", false}, {"quantity"}, {"", false}, {"price"}, {"cost"}};
  const auto row = [&](const std::vector<std::string>& cells) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
      columns[i].cells.push_back(cells[i]);
    }
  };
  for (const CostLine& line : cost.lines) {
    row({line.what, fixedDecimals(line.quantity, 2), line.unit, fixedDecimals(line.price, 2),
         fixedDecimals(line.cost, 2)});
  }
  row({"total", "", "", "", fixedDecimals(cost.total(), 2)});
  out += rowsOf(columns);
  if (!cost.unpriced.empty()) {
    std::string missing;
    for (const std::string& one : cost.unpriced) {
      missing += (missing.empty() ? "" : ", ") + one;
    }
    out += wrapped("Without a price, so not in the total: " + missing + ".", "  ", "  ",
                   kCompareWidth);
  }
  return out;
}

std::string detail(const SiteComparison& comparison, const std::string& currency) {
  const Arrangement& made = comparison.arrangements[*comparison.recommended];
  std::string text = "Panels back to front ";
  for (std::size_t i = 0; i < made.panel_length_mm.size(); ++i) {
    text += i == 0 ? "" : ", ";
    text +=
        millimetres(made.panel_length_mm[i]) + " mm (" + shown(made.panel_mass_kg[i], 0) + " kg)";
  }
  text += "; " + std::to_string(made.ropes) + " ropes, " + std::to_string(made.pulleys) +
          " rope pulleys. It opens in " + shown(made.drive.opening_time_s, 1) +
          " s, the front panel at " + shown(made.drive.front_speed_mm_s, 0) + " mm/s.";
  std::string out = "\nThe first\n" + wrapped(text, "  ", "  ", kCompareWidth);
  for (const Hazard hazard : made.hazards) {
    out += wrapped(hazardText(comparison.spec, made, hazard), "  ! ", "    ", kCompareWidth);
  }
  Cure settings;
  settings.sets = overridesOf(comparison.spec, made);
  for (const ChosenValue& one : made.sections) {
    out += wrapped(one.pointer + " is " + one.value + ", chosen: " + one.why, "  ", "    ",
                   kCompareWidth);
  }
  out += wrapped(made.verdict && made.verdict->is_proved
                     ? "Built and checked: nothing meets; it holds, stays on its track and starts."
                     : "Built: it holds, stays on its track and starts. Clashes are for check to "
                       "find.",
                 "  ", "  ", kCompareWidth);
  out += wrapped(settingsOf(settings), "  ", "  ", kCompareWidth);
  return made.cost ? out + costText(*made.cost, currency) : out;
}

/// What tells against those that fit and are not ready.
std::string unreadyText(const SiteComparison& comparison) {
  std::string out;
  for (const int index : comparison.ranked) {
    const Arrangement& made = comparison.arrangements[index];
    if (!made.isUnready()) {
      continue;
    }
    std::string text = nameOf(made.choice) + ": ";
    const char* comma = "";
    for (const ArrangementVerdict::Reason& reason : made.verdict->reasons) {
      text += comma + reason.text;
      comma = "; ";
    }
    out += wrapped(text, "  " + padded(std::to_string(made.rank), 2, true) + " ", "     ",
                   kCompareWidth);
  }
  return out.empty() ? out
                     : "\nNOT READY as they are, though they fit; check says what cures it\n" + out;
}

std::string fixesText(const SiteComparison& comparison) {
  std::string out;
  for (const int index : comparison.ranked) {
    const Arrangement& made = comparison.arrangements[index];
    if (made.fits) {
      continue;
    }
    std::string text = nameOf(made.choice) + ": ";
    if (!made.problems.empty()) {
      const LayoutProblem& problem = made.problems.front();
      text += problem.pointer + ": " + problem.text;
    } else {
      text += millimetres(-*made.margin_mm) + " mm short";
      for (std::size_t i = 0; i < made.fixes.size(); ++i) {
        text += i == 0 ? "; would fit with " : ", or ";
        text += made.fixes[i].text;
      }
      text += made.fixes.empty() ? "; nothing smaller than more room or more panels" : "";
      const bool told = text.find("too weak") != std::string::npos;
      text += made.has(Hazard::kMotorWeak) && !told ? "; its motor is too weak as well" : "";
    }
    out += wrapped(text, "  " + padded(std::to_string(made.rank), 2, true) + " ", "     ",
                   kCompareWidth);
  }
  return out.empty() ? out : "\nWhat would make the others fit\n" + out;
}

}  // namespace

std::string compareTable(const SiteComparison& comparison, const std::string& currency) {
  const std::string& title = comparison.spec.job.title;
  std::string out = (title.empty() ? "Telescopic sliding gate" : title) + "\n";
  out += siteText(comparison) + "\n" + wrapped(comparison.why, "", "", kCompareWidth);
  for (const std::string& note : comparison.notes) {
    out += wrapped(note, "Note: ", "  ", kCompareWidth);
  }
  Extras extras{comparison.spec.site.bank != 0, comparison.arrangements.front().cost.has_value()};
  std::string rows = table(comparison, extras);
  if (widthOf(rows) > kCompareWidth) {
    extras.tells_ratio = false;
    rows = table(comparison, extras);
  }
  out += "\n" + rows + legend(comparison, extras);
  if (comparison.recommended) {
    out += detail(comparison, currency);
  }
  return out + unreadyText(comparison) + fixesText(comparison);
}

}  // namespace leafstack
