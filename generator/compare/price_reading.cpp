#include <algorithm>
#include <cmath>
#include <variant>

#include "generator/compare/prices.h"
#include "params/read_gate.h"
#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/reading/text.h"
#include "params/spec/section.h"

namespace leafstack {
namespace {

constexpr double kHighestPrice = 1e7, kMostHours = 1e4, kMostPercent = 1000, kMostCarbon = 1e3,
                 kMostMonths = 600;
constexpr std::size_t kLongestCurrency = 12, kLongestText = 200;

using Names = std::vector<std::string>;
const Names kMaterials = {"steel", "aluminium", "timber"};
const Names kMetres = {"rope", "rack", "guide rail", "guide channel"};
const Names kItems = {"track wheel",    "rope pulley",  "rope bracket",     "rope",
                      "guide block",    "guide post",   "overhead bracket", "reach-over arm",
                      "standard motor", "narrow motor", "given motor"};
const Names kMotors = {"standard", "narrow", "given"};
// A shelf's motors go by their own names.
constexpr std::string_view kMotorItem = " motor";
const Names kWork = {"gate",           "panel", "rope", "guide post", "overhead bracket",
                     "reach-over arm", "m3 dug"};
const Names kPerKg = {"steel", "aluminium", "timber", "plate", "galvanising"};
const Names kPerM2 = {"galvanising", "powder coating", "paint"};
const Names kPerM3 = {"concrete"};
const Names kOperations = {"cut",  "drill",   "plate", "weld", "assemble",
                           "rope", "install", "dig",   "gate"};
const Names kOperationKeys = {"hours", "per_hour"};
const Names kMaintained = {"ropes", "wheels", "guides", "screws", "stops", "drive", "forces"};
const Names kCarbonKeys = {"kg_per_kg", "source"};
// Sections that are no hollow ones begin so, as the cut list writes them.
constexpr std::string_view kShapes[] = {"angle ",  "flat ",       "round ",
                                        "square ", "sleeve dia ", "timber "};
const Names kTop = {"currency",       "valid_until", "per_kg",   "per_m",
                    "per_m2",         "per_m3",      "per_item", "items",
                    "per_m3_dug",     "per_hour",    "hours",    "operations",
                    "margin_percent", "tax_percent", "carbon",   "maintenance_months"};

struct Day {
  int year = 0, month = 0, day = 0;
};

/// Digits where the pattern has letters, what it has elsewhere as it stands.
std::optional<Day> dayOf(std::string_view text, std::string_view pattern) {
  Day day;
  if (text.size() != pattern.size()) {
    return std::nullopt;
  }
  for (std::size_t i = 0; i < text.size(); ++i) {
    int* const into = pattern[i] == 'Y'   ? &day.year
                      : pattern[i] == 'M' ? &day.month
                      : pattern[i] == 'D' ? &day.day
                                          : nullptr;
    if (into == nullptr ? text[i] != pattern[i] : text[i] < '0' || text[i] > '9') {
      return std::nullopt;
    }
    if (into != nullptr) {
      *into = *into * 10 + (text[i] - '0');
    }
  }
  return day;
}

/// Gregorian.
int daysIn(int year, int month) {
  constexpr int kDays[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool is_leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  return month == 2 && is_leap ? 29 : kDays[month - 1];
}

bool isInCalendar(const Day& day) {
  return day.year >= 1 && day.month >= 1 && day.month <= 12 && day.day >= 1 &&
         day.day <= daysIn(day.year, day.month);
}

std::string isoText(const Day& day) {
  const auto padded = [](int number, std::size_t digits) {
    const std::string text = std::to_string(number);
    return std::string(digits - std::min(digits, text.size()), '0') + text;
  };
  return padded(day.year, 4) + "-" + padded(day.month, 2) + "-" + padded(day.day, 2);
}

class PriceReader {
 public:
  PriceReader(Reporter& reporter, std::span<const std::string> motors)
      : reporter_(reporter), motors_(kMotors) {
    motors_.insert(motors_.end(), motors.begin(), motors.end());
  }

  PriceList read(const JsonNode& root) {
    for (const JsonNode& member : root.children) {
      const std::string pointer = childPointer("", member.key);
      if (!readTexts(pointer, member) && !readNumbers(pointer, member) &&
          !readGroups(pointer, member)) {
        reportUnknown(pointer, member, kTop);
      }
    }
    return prices_;
  }

 private:
  bool readTexts(const std::string& pointer, const JsonNode& member) {
    if (member.key == "currency") {
      prices_.currency = text(pointer, member, "currency", kLongestCurrency);
    } else if (member.key == "valid_until") {
      prices_.valid_until = date(pointer, member);
    } else {
      return false;
    }
    return true;
  }

  bool readNumbers(const std::string& pointer, const JsonNode& member) {
    if (member.key == "per_m3_dug") {
      prices_.per_m3_dug = number(pointer, member);
    } else if (member.key == "per_hour") {
      prices_.per_hour = number(pointer, member);
    } else if (member.key == "margin_percent") {
      prices_.margin_percent = number(pointer, member, kMostPercent);
    } else if (member.key == "tax_percent") {
      prices_.tax_percent = number(pointer, member, kMostPercent);
    } else {
      return false;
    }
    return true;
  }

  bool readGroups(const std::string& pointer, const JsonNode& member) {
    if (member.key == "per_kg") {
      readGroup(pointer, member, kPerKg, prices_.per_kg);
    } else if (member.key == "per_m") {
      readMetres(pointer, member);
    } else if (member.key == "per_m2") {
      readGroup(pointer, member, kPerM2, prices_.per_m2);
    } else if (member.key == "per_m3") {
      readGroup(pointer, member, kPerM3, prices_.per_m3);
    } else if (member.key == "per_item") {
      readGroup(pointer, member, kItems, prices_.per_item);
    } else if (member.key == "items") {
      readItems(pointer, member);
    } else if (member.key == "hours") {
      readGroup(pointer, member, kWork, prices_.hours, kMostHours);
    } else if (member.key == "maintenance_months") {
      readMonths(pointer, member);
    } else if (member.key == "operations") {
      readOperations(pointer, member);
    } else if (member.key == "carbon") {
      readCarbon(pointer, member);
    } else {
      return false;
    }
    return true;
  }

  /// "" where it is none that may be shown.
  std::string text(const std::string& pointer, const JsonNode& member, const char* what,
                   std::size_t longest) {
    if (member.kind == JsonKind::kText && !member.text.empty() && member.text.size() <= longest &&
        !firstNoText(member.text)) {
      return member.text;
    }
    reporter_.add(pointer, &member,
                  {describe(member) + " is no " + what,
                   "a text of up to " + std::to_string(longest) +
                       " bytes on one line, without control characters",
                   ""});
    return "";
  }

  /// A day of the calendar as ISO 8601 writes it; else "", told with what may have been meant.
  std::string date(const std::string& pointer, const JsonNode& member) {
    const bool is_text = member.kind == JsonKind::kText;
    const std::optional<Day> day = is_text ? dayOf(member.text, "YYYY-MM-DD") : std::nullopt;
    if (day && isInCalendar(*day)) {
      return member.text;
    }
    Complaint complaint{describe(member) + " is no date", "a day of the calendar, \"YYYY-MM-DD\"",
                        ""};
    if (day && isInCalendar({day->year, day->month, 1})) {
      complaint.suggestion =
          "that month has " + std::to_string(daysIn(day->year, day->month)) + " days";
    }
    for (const char* habit : {"DD.MM.YYYY", "YYYY/MM/DD", "YYYY.MM.DD", "YYYYMMDD"}) {
      const std::optional<Day> meant = is_text ? dayOf(member.text, habit) : std::nullopt;
      if (meant && isInCalendar(*meant)) {
        complaint.suggestion = "did you mean " + inQuotes(isoText(*meant)) + "?";
      }
    }
    reporter_.add(pointer, &member, complaint);
    return "";
  }

  std::optional<Price> number(const std::string& pointer, const JsonNode& node,
                              double most = kHighestPrice) {
    const bool is_number = node.kind == JsonKind::kNumber;
    std::string message = describe(node);
    if (!is_number || node.number < 0 || node.number > most) {
      message += is_number ? " is out of range" : " is not a number";
      reporter_.add(pointer, &node, {message, "0 to " + formatNumber(most), meant(node)});
      return std::nullopt;
    }
    const std::optional<std::int64_t> parts = scaledDecimal(node.text, kPriceDecimals);
    if (!parts) {
      constexpr double kScale = 1e4;  // of kPriceDecimals
      reporter_.add(
          pointer, &node,
          {message + " has too many decimals",
           "up to " + std::to_string(kPriceDecimals) + " decimals",
           "did you mean " + formatNumber(std::round(node.number * kScale) / kScale) + "?"});
      return std::nullopt;
    }
    return Price{*parts};
  }

  /// What may have been meant by what is no price.
  static std::string meant(const JsonNode& node) {
    constexpr const char* kLeaveOut = "leave out what has no price; 0 is a price";
    if (node.kind == JsonKind::kNumber) {
      return node.number < 0 ? kLeaveOut
                             : "prices are in the currency's own units, not in hundredths of them";
    }
    if (node.kind != JsonKind::kText) {
      return kLeaveOut;
    }
    // "12,50 EUR": the figure that stands first, as JSON writes it.
    const std::size_t from = node.text.find_first_of("0123456789");
    if (from == std::string::npos || node.text.find_first_of("-+") < from) {
      return kLeaveOut;
    }
    std::string figure =
        node.text.substr(from, node.text.find_first_not_of("0123456789.,", from) - from);
    while (!figure.empty() && (figure.back() == '.' || figure.back() == ',')) {
      figure.pop_back();
    }
    const std::size_t mark = figure.find_first_of(".,");
    if (mark != std::string::npos && figure.find_first_of(".,", mark + 1) != std::string::npos) {
      return kLeaveOut;  // two marks can be read in two ways
    }
    if (mark != std::string::npos) {
      figure[mark] = '.';
    }
    return "did you mean " + figure + "?";
  }

  bool isObject(const std::string& pointer, const JsonNode& node) {
    if (node.kind == JsonKind::kObject) {
      return true;
    }
    reporter_.add(pointer, &node,
                  {describe(node) + " is not an object", "an object of prices", ""});
    return false;
  }

  void readGroup(const std::string& pointer, const JsonNode& group, const Names& names,
                 PriceList::Prices& into, double most = kHighestPrice) {
    if (!isObject(pointer, group)) {
      return;
    }
    for (const JsonNode& member : group.children) {
      const std::string at = childPointer(pointer, member.key);
      const bool is_motor = &names == &kItems && member.key.ends_with(kMotorItem);
      if (is_motor && isMisspeltMotor(at, member)) {
        continue;
      }
      if (!is_motor && std::find(names.begin(), names.end(), member.key) == names.end()) {
        reportUnknown(at, member, names);
      } else if (const auto price = number(at, member, most)) {
        into[member.key] = *price;
      }
    }
  }

  /// An interval of none is none that anybody keeps.
  void readMonths(const std::string& pointer, const JsonNode& group) {
    readGroup(pointer, group, kMaintained, prices_.maintenance_months, kMostMonths);
    for (const JsonNode& member : group.children) {
      if (member.kind == JsonKind::kNumber && member.number == 0) {
        reporter_.add(childPointer(pointer, member.key), &member,
                      {"0 is no interval", "more than 0, up to " + formatNumber(kMostMonths),
                       "leave out what is still to be set"});
      }
    }
  }

  /// Reports a name that only nearly is one of the motors'.
  bool isMisspeltMotor(const std::string& pointer, const JsonNode& member) {
    const std::string name = member.key.substr(0, member.key.size() - kMotorItem.size());
    if (std::find(motors_.begin(), motors_.end(), name) != motors_.end()) {
      return false;
    }
    const std::string nearest = nearestName(name, motors_);
    if (nearest.empty()) {
      return false;
    }
    reporter_.addKey(pointer, member,
                     {"unknown motor " + inQuotes(member.key), "",
                      "did you mean " + inQuotes(nearest + std::string(kMotorItem)) + "?"});
    return true;
  }

  /// Names are the firm's own: any that may be shown.
  void readItems(const std::string& pointer, const JsonNode& group) {
    if (!isObject(pointer, group)) {
      return;
    }
    for (const JsonNode& member : group.children) {
      const std::string at = childPointer(pointer, member.key);
      if (member.key.empty() || member.key.size() > kLongestText || firstNoText(member.key)) {
        reporter_.addKey(
            at, member,
            {inQuotes(member.key) + " is no item",
             "a reference or words of up to " + std::to_string(kLongestText) + " bytes on one line",
             ""});
      } else if (const auto price = number(at, member)) {
        prices_.items[member.key] = *price;
      }
    }
  }

  void readOperations(const std::string& pointer, const JsonNode& group) {
    if (!isObject(pointer, group)) {
      return;
    }
    for (const JsonNode& member : group.children) {
      const std::string at = childPointer(pointer, member.key);
      if (std::find(kOperations.begin(), kOperations.end(), member.key) == kOperations.end()) {
        reportUnknown(at, member, kOperations);
      } else if (isObject(at, member)) {
        readOperation(at, member, prices_.operations[member.key]);
      }
    }
  }

  void readOperation(const std::string& pointer, const JsonNode& node, Operation& into) {
    for (const JsonNode& member : node.children) {
      const std::string at = childPointer(pointer, member.key);
      if (member.key == "hours") {
        into.hours = number(at, member, kMostHours);
      } else if (member.key == "per_hour") {
        into.per_hour = number(at, member);
      } else {
        reportUnknown(at, member, kOperationKeys);
      }
    }
  }

  void readCarbon(const std::string& pointer, const JsonNode& group) {
    static const Names kFactors(kMaterials.begin(), kMaterials.end());
    if (!isObject(pointer, group)) {
      return;
    }
    for (const JsonNode& member : group.children) {
      const std::string at = childPointer(pointer, member.key);
      if (std::find(kFactors.begin(), kFactors.end(), member.key) == kFactors.end()) {
        reportUnknown(at, member, kFactors);
      } else if (isObject(at, member)) {
        readFactor(at, member);
      }
    }
  }

  /// A factor without a source is none.
  void readFactor(const std::string& pointer, const JsonNode& node) {
    CarbonFactor factor;
    std::optional<Price> value;
    for (const JsonNode& member : node.children) {
      const std::string at = childPointer(pointer, member.key);
      if (member.key == "kg_per_kg") {
        value = number(at, member, kMostCarbon);
      } else if (member.key == "source") {
        factor.source = text(at, member, "source", kLongestText);
      } else {
        reportUnknown(at, member, kCarbonKeys);
      }
    }
    for (const std::string& key : kCarbonKeys) {
      if (node.member(key) == nullptr) {
        reporter_.add(pointer, &node, {"lacks " + inQuotes(key), joined(kCarbonKeys, "and"), ""});
      }
    }
    if (value && !factor.source.empty()) {
      factor.kg_per_kg = *value;
      prices_.carbon[node.key] = factor;
    }
  }

  /// Known names, or any section's designation.
  void readMetres(const std::string& pointer, const JsonNode& group) {
    if (!isObject(pointer, group)) {
      return;
    }
    for (const JsonNode& member : group.children) {
      const std::string at = childPointer(pointer, member.key);
      std::string name = member.key;
      if (std::find(kMetres.begin(), kMetres.end(), name) == kMetres.end()) {
        const bool is_shape =
            std::any_of(std::begin(kShapes), std::end(kShapes),
                        [&](std::string_view shape) { return name.starts_with(shape); });
        const auto section = parseSection(name);
        if (is_shape && name.size() <= kLongestText && !firstNoText(name)) {
          // As it stands in the cut list.
        } else if (!std::holds_alternative<HollowSection>(section)) {
          reportUnknown(at, member, kMetres, " or a section such as \"SHS 50x50x3\"");
          continue;
        } else {
          name = std::get<HollowSection>(section).designation;
        }
      }
      const auto price = number(at, member);
      if (price && !prices_.per_m.emplace(name, *price).second) {
        reporter_.addKey(at, member, {inQuotes(name) + " has a price already", "", ""});
      }
    }
  }

  void reportUnknown(const std::string& pointer, const JsonNode& member, const Names& names,
                     const std::string& more = "") {
    Complaint complaint{"unknown key " + inQuotes(member.key), joined(names, "or") + more, ""};
    const std::string nearest = nearestName(member.key, names);
    if (!nearest.empty()) {
      complaint.suggestion = "did you mean " + inQuotes(nearest) + "?";
    }
    reporter_.addKey(pointer, member, complaint);
  }

  Reporter& reporter_;
  Names motors_;
  PriceList prices_;
};

}  // namespace

PriceResult readPrices(std::string_view text, std::string_view source_name,
                       std::span<const std::string> motors) {
  JsonText parsed = parseJsonUpTo(kMaxGateFileBytes, text, source_name, "a price list");
  if (text.size() <= kMaxGateFileBytes &&
      text.find_first_not_of(" \t\r\n") == std::string_view::npos) {
    parsed.problems.back().suggestion = "{} is a price list without prices";
  }
  Reporter reporter(source_name);
  reporter.add(parsed.problems);
  PriceReader reader(reporter, motors);
  PriceResult result;
  if (parsed.root.kind != JsonKind::kObject) {
    if (parsed.complete) {
      reporter.add("", &parsed.root,
                   {"a price list is a JSON object, not " + describe(parsed.root), "", ""});
    }
  } else {
    result.prices = reader.read(parsed.root);
  }
  if (!reporter.empty()) {
    result.prices.reset();
    result.problems = reporter.sorted();
  }
  return result;
}

}  // namespace leafstack
