#include "generator/compare/prices.h"
#include "generator/geometry/numbers.h"

#include <algorithm>
#include <cmath>
#include <variant>

#include "generator/compare/arrangement.h"
#include "generator/compare/cost/estimate.h"
#include "generator/layout/layout.h"
#include "params/read_gate.h"
#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/reading/text.h"
#include "params/spec/section.h"

namespace leafstack {
namespace {

constexpr double kHighestPrice = 1e7;
constexpr std::size_t kLongestCurrency = 12;

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
const Names kTop = {"currency", "per_kg", "per_m", "per_item", "per_m3_dug", "per_hour", "hours"};

class PriceReader {
 public:
  PriceReader(Reporter& reporter, std::span<const std::string> motors)
      : reporter_(reporter), motors_(kMotors) {
    motors_.insert(motors_.end(), motors.begin(), motors.end());
  }

  PriceList read(const JsonNode& root) {
    for (const JsonNode& member : root.children) {
      const std::string pointer = childPointer("", member.key);
      if (member.key == "currency") {
        readCurrency(pointer, member);
      } else if (member.key == "per_kg") {
        readGroup(pointer, member, kMaterials, prices_.per_kg);
      } else if (member.key == "per_m") {
        readMetres(pointer, member);
      } else if (member.key == "per_item") {
        readGroup(pointer, member, kItems, prices_.per_item);
      } else if (member.key == "hours") {
        readGroup(pointer, member, kWork, prices_.hours);
      } else if (member.key == "per_m3_dug") {
        prices_.per_m3_dug = number(pointer, member);
      } else if (member.key == "per_hour") {
        prices_.per_hour = number(pointer, member);
      } else {
        reportUnknown(pointer, member, kTop);
      }
    }
    return prices_;
  }

 private:
  void readCurrency(const std::string& pointer, const JsonNode& member) {
    if (member.kind != JsonKind::kText || member.text.empty() ||
        member.text.size() > kLongestCurrency || firstNoText(member.text)) {
      reporter_.add(pointer, &member,
                    {describe(member) + " is no currency",
                     "a text of up to " + std::to_string(kLongestCurrency) +
                         " bytes on one line, without control characters",
                     ""});
      return;
    }
    prices_.currency = member.text;
  }

  std::optional<double> number(const std::string& pointer, const JsonNode& node) {
    const bool is_number = node.kind == JsonKind::kNumber;
    if (!is_number || node.number < 0 || node.number > kHighestPrice) {
      std::string message = describe(node);
      message += is_number ? " is out of range" : " is not a number";
      reporter_.add(pointer, &node, {message, "0 to " + formatNumber(kHighestPrice), ""});
      return std::nullopt;
    }
    return node.number;
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
                 PriceList::Prices& into) {
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
      } else if (const auto price = number(at, member)) {
        into[member.key] = *price;
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

  /// Known names, or any section's designation.
  void readMetres(const std::string& pointer, const JsonNode& group) {
    if (!isObject(pointer, group)) {
      return;
    }
    for (const JsonNode& member : group.children) {
      const std::string at = childPointer(pointer, member.key);
      std::string name = member.key;
      if (std::find(kMetres.begin(), kMetres.end(), name) == kMetres.end()) {
        const auto section = parseSection(name);
        if (!std::holds_alternative<HollowSection>(section)) {
          reportUnknown(at, member, kMetres, " or a section such as \"SHS 50x50x3\"");
          continue;
        }
        name = std::get<HollowSection>(section).designation;
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

/// Adds up one arrangement.
class Counter {
 public:
  Counter(const PriceList& prices, bool in_words) : prices_(prices), in_words_(in_words) {}

  /// By the metre where the list has a price for that, else by the kg.
  void material(std::string_view metre, std::string_view what, std::string_view of,
                const Quantity& quantity) {
    if (quantity.mass_kg == 0) {
      return;
    }
    const auto per_m = prices_.per_m.find(metre);
    if (per_m != prices_.per_m.end()) {
      add(cost.material, what, quantity.length_mm / kMmPerM, "m", per_m->second);
      return;
    }
    priced(prices_.per_kg, of, cost.material, what, quantity.mass_kg, "kg");
  }
  void item(std::string_view what, double count) {
    if (count > 0) {
      priced(prices_.per_item, what, cost.items, what, count, "");
    }
  }
  void digging(double m3) {
    if (m3 > 0 && prices_.per_m3_dug) {
      add(cost.digging, "pocket dug", m3, "m3", *prices_.per_m3_dug);
    } else if (m3 > 0) {
      missing("pocket dug");
    }
  }
  void work(std::string_view what, double count) {
    const auto hours = prices_.hours.find(what);
    if (hours != prices_.hours.end() && count > 0) {
      hours_ += hours->second * count;
    }
  }
  void finishWork() {
    if (hours_ > 0 && prices_.per_hour) {
      add(cost.labour, "work", hours_, "h", *prices_.per_hour);
    } else {
      missing("work");
    }
  }

  Cost cost;

 private:
  void add(double& into, std::string_view what, double quantity, const char* unit, double price) {
    into += quantity * price;
    if (in_words_) {
      cost.lines.push_back({std::string(what), quantity, unit, price, quantity * price});
    }
  }
  void missing(std::string_view what) {
    ++cost.missing;
    if (in_words_) {
      cost.unpriced.emplace_back(what);
    }
  }
  void priced(const PriceList::Prices& list, std::string_view name, double& into,
              std::string_view what, double quantity, const char* unit) {
    const auto found = list.find(name);
    if (found == list.end()) {
      missing(what);
      return;
    }
    add(into, what, quantity, unit, found->second);
  }

  const PriceList& prices_;
  bool in_words_;
  double hours_ = 0;
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

Cost costOf(const PriceList& prices, const GateSpec& spec, const Arrangement& arrangement,
            const Bill& gate, bool in_words) {
  const PanelSpec& frame = spec.gate;
  const std::string_view metal = frame.material == FrameMaterial::kSteel ? "steel" : "aluminium";
  Counter counter(prices, in_words);
  counter.material(frame.bottom_rail.designation, "bottom rails", metal,
                   gate.of(Stock::kBottomRail));
  counter.material(frame.top_rail.designation, "top rails", metal, gate.of(Stock::kTopRail));
  counter.material(frame.stile.designation, "stiles", metal, gate.of(Stock::kStile));
  counter.material(frame.infill.section.designation, "infill", metal, gate.of(Stock::kInfill));
  counter.material("", "sheets", metal, gate.of(Stock::kSheet));
  counter.material("", "cladding", "timber", gate.of(Stock::kCladding));
  counter.material("guide rail", "guide rails", metal, gate.of(Stock::kGuideRail));
  counter.material("guide channel", "guide channels", "steel", gate.of(Stock::kGuideChannel));
  const bool is_nylon = spec.hardware.rack.material == RackMaterial::kNylon;
  counter.material("rack", "rack", is_nylon ? "" : "steel", gate.of(Stock::kRack));
  // By the metre or by the piece, whichever the list has.
  const bool by_metre = prices.per_m.contains("rope");
  if (by_metre) {
    counter.material("rope", "rope", "", gate.of(Stock::kRope));
  }
  counter.item("track wheel", gate.of(Stock::kWheel).items);
  counter.item("rope pulley", arrangement.pulleys);
  // The panels' and the ground's.
  const int brackets = gate.of(Stock::kRopeBracket).items + (arrangement.ropes > 0 ? 1 : 0);
  counter.item("rope bracket", brackets);
  counter.item("rope", by_metre && !prices.per_item.contains("rope") ? 0 : arrangement.ropes);
  counter.item("guide block", arrangement.choice.panels);
  counter.item(nameOf(arrangement.choice.mount), 1);
  counter.item(std::string(arrangement.choice.motorName()) + " motor", 1);
  counter.digging(arrangement.pocket_m3);
  counter.work("gate", 1);
  counter.work("panel", arrangement.choice.panels);
  counter.work("rope", arrangement.ropes);
  counter.work(nameOf(arrangement.choice.mount), 1);
  counter.work("m3 dug", arrangement.pocket_m3);
  counter.finishWork();
  return counter.cost;
}

}  // namespace leafstack
