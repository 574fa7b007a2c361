#include "params/table/as_built/panels_built.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "params/reading/text.h"
#include "params/reading/units.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kMostPanelsBuilt = 4;
constexpr double kMostUncertainty_mm = 20;
constexpr const char* kPanelNumber = "number";
constexpr const char* kPanelUncertainty = "uncertainty_mm";

// In the order of PanelMeasure. Ranges: what a panel of a gate file may have.
constexpr std::array<PanelMeasureRow, kPanelMeasures> kPanelRows = {{
    {"length_mm", 300, 25000, "Bottom rail from end to end"},
    {"frame_mm", 300, 25000, "Panel 1's frame at the top, where its bottom rail is longer"},
    {"leading_height_mm", 300, 4000,
     "Bottom rail's underside to the top at the leading end upright"},
    {"trailing_height_mm", 300, 4000, "The same at the trailing one"},
    {"rising_diagonal_mm", 400, 26000,
     "Frame's leading lower corner to its trailing upper corner, outside"},
    {"falling_diagonal_mm", 400, 26000, "Its leading upper corner to its trailing lower corner"},
    {"bow_mm", -50, 50, "Bottom rail's middle off a line over its ends, across the track"},
    {"leading_pulley_mm", 10, 25000, "Leading end to the leading pulley's axis"},
    {"trailing_pulley_mm", 10, 25000, "Leading end to the trailing pulley's axis"},
    {"front_bracket_mm", 10, 25500, "Leading end to the middle of the bracket at the trailing end"},
    {"stop_mm", 500, 45000, "Latch-side post to the buffer of the stop that the open panel meets"},
}};

class PanelsReader {
 public:
  explicit PanelsReader(Reporter& reporter) : reporter_(reporter) {}

  bool list(const JsonNode& value, const std::string& pointer, std::vector<BuiltPanel>& panels) {
    if (value.kind != JsonKind::kArray) {
      return refuse(pointer, value, describe(value) + " is no list of panels",
                    panelsBuiltInWords());
    }
    bool fine = value.children.size() <= kMostPanelsBuilt ||
                refuse(pointer, value,
                       "a list of " + std::to_string(value.children.size()) + " panels is too long",
                       "one object for each of up to 4 panels");
    for (std::size_t i = 0; i < value.children.size() && i <= kMostPanelsBuilt; ++i) {
      BuiltPanel one;
      const std::string at = childPointer(pointer, std::to_string(i));
      const bool read = item(value.children[i], at, one);
      fine = read && fine;
      const bool is_twice = std::any_of(panels.begin(), panels.end(), [&](const BuiltPanel& other) {
        return other.number == one.number;
      });
      if (read && is_twice) {
        fine = refuse(childPointer(at, kPanelNumber), value.children[i],
                      "panel " + std::to_string(one.number) + " is measured twice",
                      "each panel once", "say which of both measurements counts");
      }
      panels.push_back(std::move(one));
    }
    return fine;
  }

 private:
  bool refuse(const std::string& pointer, const JsonNode& value, std::string message,
              std::string allowed, std::string suggestion = {}) {
    reporter_.add(pointer, &value, {std::move(message), std::move(allowed), std::move(suggestion)});
    return false;
  }

  bool item(const JsonNode& value, const std::string& pointer, BuiltPanel& panel) {
    if (value.kind != JsonKind::kObject) {
      return refuse(pointer, value, describe(value) + " is no measured panel",
                    "an object { \"number\": 1, \"length_mm\": ... }");
    }
    bool fine = true;
    for (const JsonNode& member : value.children) {
      fine = read(member, childPointer(pointer, member.key), panel) && fine;
    }
    if (value.member(kPanelNumber) == nullptr) {
      fine = refuse(pointer, value, "a measured panel without its number",
                    "1 (the back one, at the motor) to 4");
    }
    return fine;
  }

  bool read(const JsonNode& member, const std::string& pointer, BuiltPanel& panel) {
    if (member.key == kPanelNumber) {
      const double number = member.kind == JsonKind::kNumber ? member.number : 0;
      if (number != std::floor(number) || number < 1 || number > kMostPanelsBuilt) {
        return refuse(pointer, member, describe(member) + " is no panel",
                      "1 (the back one, at the motor) to 4");
      }
      panel.number = static_cast<int>(number);
      return true;
    }
    if (member.key == kPanelUncertainty) {
      panel.uncertainty_mm = length(member, pointer, 0, kMostUncertainty_mm);
      return panel.uncertainty_mm.has_value();
    }
    for (std::size_t i = 0; i < kPanelRows.size(); ++i) {
      if (member.key == kPanelRows[i].key) {
        panel.measured_mm[i] =
            length(member, pointer, kPanelRows[i].least_mm, kPanelRows[i].most_mm);
        return panel.measured_mm[i].has_value();
      }
    }
    std::vector<std::string> keys = {kPanelNumber, kPanelUncertainty};
    for (const PanelMeasureRow& row : kPanelRows) {
      keys.emplace_back(row.key);
    }
    const std::string nearest = nearestName(member.key, keys);
    reporter_.addKey(
        pointer, member,
        {"unknown key " + inQuotes(member.key), nearest.empty() ? joined(keys, "or") : "",
         nearest.empty() ? "" : "did you mean " + inQuotes(nearest) + "?"});
    return false;
  }

  std::optional<double> length(const JsonNode& value, const std::string& pointer, double least,
                               double most) {
    const std::string allowed = formatNumber(least) + " to " + formatNumber(most) + " mm";
    const auto typed = value.kind == JsonKind::kText ? typedIn("mm", value.text) : std::nullopt;
    if (typed && !typed->value) {
      refuse(pointer, value, describe(value) + ' ' + typed->fault, allowed, typed->suggestion);
      return std::nullopt;
    }
    if (value.kind != JsonKind::kNumber && !typed) {
      refuse(pointer, value, describe(value) + " is not a length", allowed,
             value.kind == JsonKind::kNull ? "leave out what was not measured" : "");
      return std::nullopt;
    }
    const double mm = typed ? *typed->value : value.number;
    if (!(mm >= least && mm <= most)) {
      refuse(pointer, value, describe(value) + " is too " + (mm < least ? "small" : "large"),
             allowed, typed ? "" : otherwise(mm, least, most));
      return std::nullopt;
    }
    return mm == 0 ? 0 : mm;
  }

  /// Every unit in which a number would fit: which was meant only its writer knows.
  static std::string otherwise(double value, double least, double most) {
    std::string units;
    for (const OtherUnit& one : otherUnits()) {
      const double mm = fromOther(one, value);
      if (one.unit == std::string_view("mm") && value != 0 && mm >= least && mm <= most) {
        units += (units.empty() ? "if that was in " : "; if in ") + std::string(one.other) +
                 ", write " + formatFigure(mm);
      }
    }
    return units;
  }

  Reporter& reporter_;
};

}  // namespace

std::span<const PanelMeasureRow> panelMeasures() {
  return kPanelRows;
}

const PanelMeasureRow& rowOf(PanelMeasure what) {
  return kPanelRows[static_cast<std::size_t>(what)];
}

bool readPanelsBuilt(const JsonNode& value, const std::string& pointer, Reporter& reporter,
                     std::vector<BuiltPanel>& panels) {
  panels.clear();
  const bool fine = PanelsReader(reporter).list(value, pointer, panels);
  if (!fine) {
    panels.clear();
  }
  return fine;
}

Json writtenPanelsBuilt(const std::vector<BuiltPanel>& panels) {
  Json list = Json::array();
  for (const BuiltPanel& panel : panels) {
    Json& one = list.emplace_back(Json{{kPanelNumber, panel.number}});
    for (std::size_t i = 0; i < kPanelRows.size(); ++i) {
      if (panel.measured_mm[i]) {
        one[kPanelRows[i].key] = *panel.measured_mm[i];
      }
    }
    if (panel.uncertainty_mm) {
      one[kPanelUncertainty] = *panel.uncertainty_mm;
    }
  }
  return list;
}

const char* panelsBuiltInWords() {
  return "a list of up to 4 objects { \"number\": 1, \"length_mm\": ..., ... }, one a panel "
         "measured";
}

Json panelsBuiltSchema(const Json& length_text) {
  const auto length = [&](double least, double most) {
    return Json{
        {"anyOf", Json::array({Json{{"type", "number"}, {"minimum", least}, {"maximum", most}},
                               length_text})}};
  };
  Json properties;
  properties[kPanelNumber] = {{"type", "integer"}, {"minimum", 1}, {"maximum", kMostPanelsBuilt}};
  for (const PanelMeasureRow& row : kPanelRows) {
    Json one = length(row.least_mm, row.most_mm);
    one["description"] = row.meaning;
    properties[row.key] = one;
  }
  properties[kPanelUncertainty] = length(0, kMostUncertainty_mm);
  const Json one = {{"type", "object"},
                    {"properties", properties},
                    {"required", Json::array({kPanelNumber})},
                    {"additionalProperties", false}};
  return {{"type", "array"}, {"items", one}, {"maxItems", kMostPanelsBuilt}};
}

}  // namespace leafstack
