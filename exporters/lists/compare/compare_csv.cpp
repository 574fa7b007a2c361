#include "exporters/lists/compare/compare_csv.h"

#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>

#include "exporters/bytes/csv.h"
#include "exporters/bytes/export_error.h"
#include "exporters/bytes/rounding.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

/// One cell: a name, and its text as CSV and JSON alike where it is a number, a flag or nothing.
struct Cell {
  const char* name;
  std::string text;
  bool is_text = false;
};

/// Shortest decimal, to a millionth.
std::string number(double value) {
  char buffer[64];
  const auto [end, error] =
      std::to_chars(buffer, buffer + sizeof buffer, roundedToMillionth(value));
  if (error != std::errc()) {
    throw ExportError("a number is too long");
  }
  return {buffer, end};
}

std::string number(const std::optional<double>& value) {
  return value ? number(*value) : std::string();
}

std::string flag(bool value) {
  return value ? "true" : "false";
}

std::string idsOf(const Arrangement& made) {
  std::string ids;
  for (const Hazard hazard : made.hazards) {
    ids += ids.empty() ? "" : " ";
    ids += idOf(hazard);
  }
  return ids;
}

std::string lengthsOf(const Arrangement& made) {
  std::string text;
  for (const double length : made.panel_length_mm) {
    text += text.empty() ? "" : " ";
    text += number(length);
  }
  return text;
}

std::vector<Cell> cellsOf(const SiteComparison& comparison, int index, bool with_cost) {
  const Arrangement& made = comparison.arrangements[index];
  const ArrangementChoice& choice = made.choice;
  std::vector<Cell> cells = {
      {"panels", std::to_string(choice.panels)},
      {"stacking", std::string(toString(choice.stacking)), true},
      {"mount", std::string(toString(choice.mount)), true},
      {"motor", std::string(choice.motorName()), true},
      {"room_mm", number(made.room_mm)},
      {"room_total_mm", number(made.room_total_mm)},
      {"fits", flag(made.fits)},
      {"vouched", flag(comparison.vouched)},
      {"margin_mm", made.laid_out ? number(made.margin_mm) : std::string()},
      {"binding", std::string(ruleOf(made.binding).id), true},
      {"rank", std::to_string(made.rank)},
      {"recommended", flag(comparison.recommended == index)},
      {"panel_lengths_mm", lengthsOf(made), true},
      {"mass_kg", number(made.mass_kg)},
      {"force_N", number(made.drive.force_N)},
      {"required_force_N", number(made.drive.required_force_N)},
      {"ratio_to_single", number(made.drive.ratio_to_single)},
      {"ropes", std::to_string(made.ropes)},
      {"pulleys", std::to_string(made.pulleys)},
      {"pocket_volume_m3", number(made.pocket_m3)},
      {"bracket_over_fence_mm", number(made.bracket_over_fence_mm)},
      {"hazards", idsOf(made), true},
      {"problem_at", made.problems.empty() ? "" : made.problems.front().pointer, true}};
  if (with_cost) {
    cells.push_back({"cost", made.cost ? number(inUnits(made.cost->total())) : std::string()});
    cells.push_back({"cost_complete", made.cost ? flag(made.cost->is_complete()) : std::string()});
  }
  return cells;
}

/// A swept value as JSON: a number or flag as it is, else a text.
std::string jsonValue(const std::string& text) {
  const auto parsed = nlohmann::json::parse(text, nullptr, /*allow_exceptions=*/false);
  return parsed.is_discarded() ? nlohmann::json(text).dump() : text;
}

}  // namespace

SweepRows::SweepRows(SweepFormat format, std::vector<SweepAxis> axes, bool with_cost)
    : format_(format), axes_(std::move(axes)), points_(pointCount(axes_)), with_cost_(with_cost) {}

void SweepRows::csvRow(const SweptSite& site, int index, std::string& out) const {
  for (const std::string& value : site.values) {
    out += csvField(value) + ",";
  }
  const char* comma = "";
  for (const Cell& cell : cellsOf(site.comparison, index, with_cost_)) {
    out += comma;
    out += csvField(cell.text);
    comma = ",";
  }
  out += "\r\n";
}

void SweepRows::jsonRow(const SweptSite& site, int index, std::string& out) const {
  const char* comma = "{";
  for (std::size_t i = 0; i < axes_.size(); ++i) {
    out += comma;
    out += nlohmann::json(axes_[i].pointer).dump() + ":" + jsonValue(site.values[i]);
    comma = ",";
  }
  for (const Cell& cell : cellsOf(site.comparison, index, with_cost_)) {
    out += comma;
    out += '"';
    out += cell.name;
    out += "\":";
    if (cell.is_text) {
      out += '"' + cell.text + '"';
    } else {
      out += cell.text.empty() ? "null" : cell.text;
    }
    comma = ",";
  }
  out += '}';
}

std::string SweepRows::rows(const SweptSite& site) const {
  const int count = static_cast<int>(site.comparison.arrangements.size());
  std::string out;
  if (site.point == 0 && format_ == SweepFormat::kCsv) {
    for (const SweepAxis& axis : axes_) {
      out += csvField(axis.pointer) + ",";
    }
    const char* comma = "";
    for (const Cell& cell : cellsOf(site.comparison, 0, with_cost_)) {
      out += comma;
      out += cell.name;
      comma = ",";
    }
    out += "\r\n";
  } else if (site.point == 0) {
    out += "[\n";
  }
  for (int index = 0; index < count; ++index) {
    if (format_ == SweepFormat::kCsv) {
      csvRow(site, index, out);
      continue;
    }
    jsonRow(site, index, out);
    const bool is_last = site.point + 1 == points_ && index + 1 == count;
    out += is_last ? "\n]\n" : ",\n";
  }
  return out;
}

}  // namespace leafstack
