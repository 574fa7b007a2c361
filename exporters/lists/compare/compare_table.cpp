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

/// Characters, of which some take several bytes.
std::size_t lengthOf(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned>(c) & 0xC0U) != 0x80U;
  }));
}

std::string rowsOf(const std::vector<Column>& columns) {
  std::vector<std::size_t> widths;
  for (const Column& column : columns) {
    std::size_t width = column.head.size();
    for (const std::string& cell : column.cells) {
      width = std::max(width, lengthOf(cell));
    }
    widths.push_back(width);
  }
  std::string out;
  for (std::size_t row = 0; row <= columns.front().cells.size(); ++row) {
    std::string line = " ";
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const Column& column = columns[i];
      const std::string& cell = row == 0 ? column.head : column.cells[row - 1];
      line += " " + padded(cell, widths[i] + cell.size() - lengthOf(cell), column.is_number);
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
    const char* at_least = made.cost && !made.cost->is_complete() ? "\u2265" : "";
    cells.push_back(made.cost ? at_least + shown(inUnits(made.cost->total()), 0) : "");
  }
  cells.push_back(hazardLetters(made));
  return cells;
}

// Columns of words that rows may differ in and still be one.
constexpr std::size_t kFirstWord = 2, kLastWord = 4;

/// "1", "1-3", "1-3,7": the ranks of a merged row and one more, which is greater.
std::string ranksWith(const std::string& ranks, const std::string& next) {
  const std::size_t last_at = ranks.find_last_of("-,") + 1;  // 0 where there is one rank
  const bool follows = std::stoi(ranks.substr(last_at)) + 1 == std::stoi(next);
  if (!follows) {
    return ranks + "," + next;
  }
  const bool is_range = last_at > 0 && ranks[last_at - 1] == '-';
  return (is_range ? ranks.substr(0, last_at - 1) : ranks) + "-" + next;
}

/// Makes one row of two that differ in the rank and in one word; false where they are no such rows.
bool mergeInto(std::vector<std::string>& row, const std::vector<std::string>& next) {
  std::size_t differing = 0;
  for (std::size_t i = 1; i < row.size(); ++i) {
    if (row[i] == next[i]) {
      continue;
    }
    const bool is_in = ("/" + row[i] + "/").find("/" + next[i] + "/") != std::string::npos;
    if (i < kFirstWord || i > kLastWord || differing != 0 || is_in) {
      return false;
    }
    differing = i;
  }
  const std::string mark = row[0].substr(row[0].find(' '));
  if (mark != next[0].substr(next[0].find(' ')) || differing == 0) {
    return false;
  }
  row[differing] += "/" + next[differing];
  row[0] =
      ranksWith(row[0].substr(0, row[0].find(' ')), next[0].substr(0, next[0].find(' '))) + mark;
  return true;
}

std::vector<std::vector<std::string>> rowsOfTable(const SiteComparison& comparison,
                                                  const Extras& extras, bool merged) {
  std::vector<std::vector<std::string>> rows;
  for (const int index : comparison.ranked) {
    std::vector<std::string> cells = cellsOf(comparison, comparison.arrangements[index], extras);
    bool is_in = merged && !rows.empty() && mergeInto(rows.back(), cells);
    // What does not fit stands in the order of what it lacks: equal rows further up are equal.
    for (std::size_t i = 0;
         merged && !is_in && !comparison.arrangements[index].fits && i < rows.size(); ++i) {
      is_in = mergeInto(rows[i], cells);
    }
    if (!is_in) {
      rows.push_back(std::move(cells));
    }
  }
  return rows;
}

/// "" where that is all of them.
std::string moreText(std::size_t all, std::size_t told, const char* what) {
  return all > told ? "  ... and " + std::to_string(all - told) + " more " + what + ": --all\n"
                    : "";
}

std::size_t widthOf(const std::string& lines) {
  std::istringstream in(lines);
  std::size_t width = 0;
  for (std::string line; std::getline(in, line);) {
    width = std::max(width, lengthOf(line));
  }
  return width;
}

std::string table(const SiteComparison& comparison, const Extras& extras, std::size_t most) {
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
  std::string text;
  for (const bool merged : {true, false}) {
    const std::vector<std::vector<std::string>> rows = rowsOfTable(comparison, extras, merged);
    for (std::size_t i = 0; i < columns.size(); ++i) {
      columns[i].cells.clear();
      for (std::size_t row = 0; row < std::min(rows.size(), most); ++row) {
        columns[i].cells.push_back(rows[row][i]);
      }
    }
    text = rowsOf(columns) + moreText(rows.size(), most, "rows");
    if (widthOf(text) <= kCompareWidth) {
      break;  // else words side by side make it too wide
    }
  }
  return text;
}

std::string legend(const SiteComparison& comparison, const Extras& extras) {
  std::string text = "Lengths in mm; " + marksText(comparison) +
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
    row({line.what, inDecimal(line.quantity), line.unit, inDecimal(line.price),
         inDecimal(line.cost)});
  }
  row({cost.is_complete() ? "total" : "incomplete, at least", "", "", "", inDecimal(cost.total())});
  if (!cost.unpriced.empty()) {
    std::string missing;
    for (const std::string& one : cost.unpriced) {
      missing += (missing.empty() ? "" : ", ") + one;
    }
    out +=
        wrapped("Without a price, so not in the sum: " + missing + ".", "  ", "  ", kCompareWidth);
  }
  out += rowsOf(columns);
  if (cost.carbon_kg) {
    out += wrapped("Carbon in its metal, ropes and timber: " + shown(inUnits(*cost.carbon_kg), 0) +
                       " kg of CO2 equivalent, by the price list's factors.",
                   "  ", "  ", kCompareWidth);
  }
  return out;
}

/// Beside the verdict: what the first one is made with.
std::string settingsText(const SiteComparison& comparison) {
  Cure settings;
  settings.sets = overridesOf(comparison.spec, comparison.arrangements[*comparison.recommended]);
  return settings.sets.empty() ? "  The gate file says so already.\n"
                               : "  " + settingsOf(settings) + "\n";
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
  for (const ChosenValue& one : made.sections) {
    out += wrapped(one.pointer + " is " + one.value + ", chosen: " + one.why, "  ", "    ",
                   kCompareWidth);
  }
  out += wrapped(made.verdict && made.verdict->is_proved
                     ? "Built and checked: nothing meets; it holds, stays on its track and starts."
                     : "Built: it holds, stays on its track and starts. Clashes are for check to "
                       "find.",
                 "  ", "  ", kCompareWidth);
  return made.cost ? out + costText(*made.cost, currency) : out;
}

/// What tells against those that fit and are not ready.
std::string unreadyText(const SiteComparison& comparison, std::size_t most) {
  std::string out;
  std::size_t count = 0;
  for (const int index : comparison.ranked) {
    const Arrangement& made = comparison.arrangements[index];
    if (!made.isUnready() || ++count > most) {
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
                     : "\nNOT READY as they are, though they fit; check says what cures it\n" +
                           out + moreText(count, most, "arrangements");
}

std::string fixesText(const SiteComparison& comparison, std::size_t most) {
  std::string out;
  std::size_t count = 0;
  for (const int index : comparison.ranked) {
    const Arrangement& made = comparison.arrangements[index];
    if (made.fits || ++count > most) {
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
      text += !made.fixes.empty() ? ""
              : made.choice.panels == kMostPanels
                  ? "; nothing smaller than more room"
                  : "; nothing smaller than more room or more panels";
      const bool told = text.find("too weak") != std::string::npos;
      text += made.has(Hazard::kMotorWeak) && !told ? "; its motor is too weak as well" : "";
    }
    out += wrapped(text, "  " + padded(std::to_string(made.rank), 2, true) + " ", "     ",
                   kCompareWidth);
  }
  return out.empty() ? out
                     : (any(comparison, [](const Arrangement& made) { return made.fits; })
                            ? "\nWhat would make the others fit\n"
                            : "\nWhat would make them fit\n") +
                           out + moreText(count, most, "arrangements");
}

/// One line: whether there is something to build.
std::string verdictLine(const SiteComparison& comparison) {
  if (!comparison.recommended) {
    const bool any_fits = any(comparison, [](const Arrangement& made) { return made.fits; });
    return any_fits ? "NOT READY: nothing that fits is ready as it is.\n"
                    : "NOT READY: nothing fits.\n";
  }
  const Arrangement& made = comparison.arrangements[*comparison.recommended];
  const std::string name = nameOf(made.choice);
  if (!made.isReady()) {
    return wrapped("FITS: " + name + "; whether it is ready was not looked at.", "", "  ",
                   kCompareWidth);
  }
  return wrapped(
      "READY: " + name + (made.verdict->is_proved ? "." : "; clashes are for check to find."), "",
      "  ", kCompareWidth);
}

}  // namespace

std::string compareVerdict(const SiteComparison& comparison) {
  std::string out = verdictLine(comparison);
  if (comparison.recommended) {
    const Arrangement& made = comparison.arrangements[*comparison.recommended];
    for (const Hazard hazard : made.hazards) {
      out += wrapped(hazardText(comparison.spec, made, hazard), "  ! ", "    ", kCompareWidth);
    }
  }
  return out;
}

std::string compareTable(const SiteComparison& comparison, const std::string& currency, bool all) {
  constexpr std::size_t kFirst = 5, kOthers = 2;
  const std::size_t rows_told = all ? comparison.ranked.size() : kFirst;
  const std::size_t others_told = all ? comparison.ranked.size() : kOthers;
  const std::string& title = comparison.spec.job.title;
  std::string out = verdictLine(comparison) + "\nWhat to do\n" +
                    wrapped(comparison.why, "  ", "  ", kCompareWidth);
  if (comparison.recommended) {
    out += settingsText(comparison);
  }
  for (const std::string& note : comparison.notes) {
    out += wrapped(note, "  Note: ", "    ", kCompareWidth);
  }
  out += "\n" + (title.empty() ? "Telescopic sliding gate" : title) + "\n" + siteText(comparison);
  Extras extras{comparison.spec.site.bank != 0, comparison.arrangements.front().cost.has_value()};
  std::string rows = table(comparison, extras, rows_told);
  if (widthOf(rows) > kCompareWidth) {
    extras.tells_ratio = false;
    rows = table(comparison, extras, rows_told);
  }
  out += "\n" + legend(comparison, extras) + rows;
  if (comparison.recommended) {
    out += detail(comparison, currency);
  }
  return out + unreadyText(comparison, others_told) + fixesText(comparison, others_told);
}

}  // namespace leafstack
