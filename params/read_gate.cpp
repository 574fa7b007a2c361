#include "params/read_gate.h"

#include <algorithm>
#include <set>
#include <unordered_map>

#include "params/meant_keys.h"
#include "params/motor_set.h"
#include "params/overrides.h"
#include "params/reading/text.h"
#include "params/reading/units.h"
#include "params/spec/section.h"
#include "params/surrounding_files.h"
#include "params/table/cross_checks.h"
#include "params/table/table.h"
#include "params/table/values.h"

namespace leafstack {
namespace {

constexpr const char* kShelfPointer = "/hardware";
constexpr const char* kSchemaPointer = "/$schema";

bool anyOverridden(const JsonNode& node) {
  return node.from_override ||
         std::any_of(node.children.begin(), node.children.end(),
                     [](const JsonNode& child) { return anyOverridden(child); });
}

/// Reads one tree against the table.
class GateReader {
 public:
  GateReader(Reporter& reporter, const std::vector<SetLayer>& sets)
      : reporter_(reporter), sets_(sets), motors_(reporter) {}

  void read(const JsonNode& root, bool complete, const HardwareInput& files) {
    for (const Parameter& parameter : parameterTable()) {
      // A required one has no default; its row shows what a starter gate has. Those of a motor are
      // for one's own: the default is a motor of the set.
      if (!parameter.required && !isOfMotor(parameter)) {
        assignDefault(parameter, spec_);
      }
    }
    for (const SetLayer& set : sets_) {
      collect(kShelfPointer, set.groups);
      assignSet(set);
      ++layer_;
    }
    collect("", root);
    for (const Parameter& parameter : parameterTable()) {
      readOne(parameter, complete);
    }
    loadSurroundings(given("/site/surroundings"), files, reporter_, spec_.site.surroundings);
    takeAluminiumDefaults();
    readMotors();
    startSections(spec_.gate);
    PanelSpec& gate = spec_.gate;
    for (HollowSection* one :
         {&gate.bottom_rail, &gate.top_rail, &gate.stile, &gate.infill.section}) {
      one->is_extruded = gate.material == FrameMaterial::kAluminium;
    }
    if (complete) {
      const StateOf state_of = [&](std::string_view pointer) {
        return ValueState{given(pointer), faulty_.contains(pointer)};
      };
      checkAcross(spec_, state_of, reporter_, files.refuses_misfits);
    }
  }

  ResolvedGate resolved() {
    ResolvedGate out;
    for (const Parameter& parameter : parameterTable()) {
      if (parameter.kind != Kind::kGroup) {
        ResolvedValue& value = out.values.emplace_back();
        value = {parameter.pointer, valueOf(parameter, spec_), originOf(parameter), "", "", ""};
        value.typed = typedText(parameter);
        if (value.origin == Origin::kSet) {
          value.set = set_of_.at(parameter.pointer)->name;
        }
        if (parameter.kind == Kind::kMotorSet) {
          value.value = motorValues();
        }
      }
    }
    out.spec = spec_;
    countGeneric(out);
    return out;
  }

 private:
  /// A frame has one depth: where what is given has another, all of it starts as in steel.
  void takeAluminiumDefaults() {
    if (spec_.gate.material != FrameMaterial::kAluminium) {
      return;
    }
    GateSpec other = spec_;
    for (const Parameter& parameter : parameterTable()) {
      if (parameter.default_aluminium != nullptr && originOf(parameter) == Origin::kDefault) {
        assignDefault(parameter, other, parameter.default_aluminium);
      }
    }
    std::set<double> depths;
    for (const HollowSection* one :
         {&other.gate.bottom_rail, &other.gate.top_rail, &other.gate.stile}) {
      if (!one->is_auto) {
        depths.insert(one->depth_mm);
      }
    }
    if (depths.size() > 1) {
      other.gate = spec_.gate;
    }
    spec_ = std::move(other);
  }

  /// What is left to the program starts as deep as what is given.
  static void startSections(PanelSpec& gate) {
    const auto all = {&gate.bottom_rail, &gate.top_rail, &gate.stile};
    const auto known = std::find_if(all.begin(), all.end(),
                                    [](const HollowSection* one) { return !one->is_auto; });
    for (HollowSection* one : all) {
      if (one->is_auto && known != all.end()) {
        one->depth_mm = (*known)->depth_mm;
        one->designation = designationOf(*one);
      }
    }
  }

  /// Sizes of this program's sets are generic; the user's own, from wherever, are not.
  static void countGeneric(ResolvedGate& gate) {
    const auto sets = builtInSets();
    for (const ResolvedValue& value : gate.values) {
      const bool is_size = value.pointer.starts_with("/hardware/") &&
                           findParameter(value.pointer)->kind == Kind::kNumber;
      const bool is_ours = std::any_of(
          sets.begin(), sets.end(), [&](const BuiltInSet& one) { return one.name == value.set; });
      const bool is_generic =
          value.origin == Origin::kDefault || (value.origin == Origin::kSet && is_ours);
      gate.spec.hardware.sizes += is_size ? 1 : 0;
      gate.spec.hardware.generic_sizes += is_size && is_generic ? 1 : 0;
      gate.spec.hardware.is_users = gate.spec.hardware.is_users || (!value.set.empty() && !is_ours);
    }
  }

  static bool isOfMotor(const Parameter& parameter) {
    const Parameter* parent = findParameter(parentOf(parameter));
    return parent != nullptr && parent->kind == Kind::kMotor;
  }

  const JsonNode* given(std::string_view pointer) const {
    const auto found = given_.find(pointer);
    return found == given_.end() ? nullptr : found->second;
  }

  /// Every value of a set, those too that a later one replaces: none may be wrong.
  void assignSet(const SetLayer& set) {
    for (const Parameter& parameter : parameterTable()) {
      const JsonNode* value = given(parameter.pointer);
      if (value == nullptr || parameter.kind == Kind::kGroup || !isIn(set.groups, *value)) {
        continue;
      }
      set_of_[parameter.pointer] = &set;
      if (!assign(parameter, *value, spec_, reporter_)) {
        faulty_.insert(parameter.pointer);
      }
    }
  }

  static bool isIn(const JsonNode& groups, const JsonNode& value) {
    return groups.source == value.source;
  }

  /// Notes every known key's value and reports the unknown keys.
  void collect(const std::string& group, const JsonNode& object) {
    for (const JsonNode& member : object.children) {
      const std::string pointer = childPointer(group, member.key);
      if (pointer == kSchemaPointer) {
        demandText(pointer, member);
        continue;
      }
      const Parameter* parameter = findParameter(pointer);
      if (parameter == nullptr) {
        reportUnknown(group, pointer, member);
        continue;
      }
      given_.insert_or_assign(parameter->pointer, &member);
      set_of_.erase(parameter->pointer);
      const bool is_object = member.kind == JsonKind::kObject;
      if (is_object && parameter->kind == Kind::kMotorSet) {
        motors_.collect(pointer, member, layer_, spec_);
      } else if (is_object && holdsKeys(*parameter)) {
        collect(pointer, member);
      } else if (parameter->kind == Kind::kGroup || parameter->kind == Kind::kMotorSet) {
        faulty_.insert(parameter->pointer);
        reporter_.add(pointer, &member,
                      {describe(member) + " is not an object", "an object of keys",
                       asObject(*parameter, member)});
      }
    }
  }

  /// Where editors find the schema; this program has its own.
  void demandText(const std::string& pointer, const JsonNode& member) {
    if (member.kind != JsonKind::kText) {
      reporter_.add(pointer, &member,
                    {describe(member) + " is not text", "a schema's address", ""});
    }
  }

  static bool holdsKeys(const Parameter& parameter) {
    return parameter.kind == Kind::kGroup || parameter.kind == Kind::kMotor ||
           parameter.kind == Kind::kShelf;
  }

  /// How a group is written that was given as a word: {"kind": "sheet"} for "sheet".
  static std::string asObject(const Parameter& group, const JsonNode& member) {
    const std::string key(keyOf(group));
    std::string first;
    for (const Parameter* child : childrenOf(group.pointer)) {
      const std::vector<std::string> names = choiceNames(*child);
      const std::string nearest =
          member.kind == JsonKind::kText ? nearestName(member.text, names) : std::string();
      if (!nearest.empty()) {
        return "write " + inQuotes(key) + ": {" + inQuotes(keyOf(*child)) + ": " +
               inQuotes(nearest) + "}";
      }
      first = first.empty() ? std::string(keyOf(*child)) : first;
    }
    return "write it as " + inQuotes(key) + ": {" + inQuotes(first) + ": ...}";
  }

  void reportUnknown(const std::string& group, const std::string& pointer, const JsonNode& member) {
    if (const std::string_view there = gatePointerOf(pointer); !there.empty()) {
      reporter_.addKey(pointer, member,
                       {inQuotes(member.key) + " is no key of a shelf", "",
                        "it is the gate file's " + std::string(there)});
      return;
    }
    const std::vector<std::string> siblings = keysOf(group);
    Complaint complaint{"unknown key " + inQuotes(member.key), "", ""};
    const std::vector<std::string> elsewhere = groupsWithKey(member.key);
    const std::string slip = slipOf(member.key, siblings);
    const std::string nearest = slip.empty() ? nearestName(member.key, siblings) : slip;
    const Parameter* meant = meantBy(group, member.key);
    const bool is_elsewhere = meant == nullptr || std::find(elsewhere.begin(), elsewhere.end(),
                                                            parentOf(*meant)) != elsewhere.end();
    if (!elsewhere.empty() && is_elsewhere) {
      complaint.suggestion = inQuotes(member.key) + " belongs to " + joined(elsewhere, "or");
    } else if (meant != nullptr) {
      complaint.suggestion = "that is " + std::string(meant->pointer) + ": " + meant->meaning;
    } else if (const std::string_view said = noInput(member.key); !said.empty()) {
      complaint.suggestion = said;
    } else if (!nearest.empty()) {
      complaint.suggestion = "did you mean " + inQuotes(nearest) + "?";
    } else {
      complaint.allowed = joined(siblings, "or");
    }
    reporter_.addKey(pointer, member, complaint);
  }

  void readOne(const Parameter& parameter, bool complete) {
    const JsonNode* value = given(parameter.pointer);
    if (set_of_.contains(parameter.pointer)) {
      return;  // assigned with its set
    }
    if (value != nullptr && parameter.kind != Kind::kGroup) {
      if (parameter.kind == Kind::kMotor && value->kind == JsonKind::kObject) {
        for (const Parameter* one : childrenOf(parameter.pointer)) {
          assignDefault(*one, spec_);
        }
      }
      if (!assign(parameter, *value, spec_, reporter_)) {
        faulty_.insert(parameter.pointer);
      }
      return;
    }
    const bool group_faulty = faulty_.contains(parentOf(parameter));
    if (parameter.required && complete && !group_faulty) {
      faulty_.insert(parameter.pointer);
      reporter_.add(parameter.pointer, nullptr,
                    {"is required but missing", allowedText(parameter),
                     "only its owner knows it: " + std::string(parameter.meaning)});
    }
  }

  Origin originOf(const Parameter& parameter) const {
    const JsonNode* value = given(parameter.pointer);
    if (set_of_.contains(parameter.pointer)) {
      return Origin::kSet;
    }
    if (value != nullptr) {
      const bool list = value->kind == JsonKind::kArray;
      const bool overridden = list ? anyOverridden(*value) : value->from_override;
      return overridden ? Origin::kOverride : Origin::kGiven;
    }
    return Origin::kDefault;
  }

  /// What was written where it was a number with its unit; of a list, all of it.
  std::string typedText(const Parameter& parameter) const {
    const JsonNode* value = given(parameter.pointer);
    if (value == nullptr || !takesUnits(parameter.unit) ||
        (value->kind == JsonKind::kText && value->text == "auto")) {
      return "";
    }
    return hasText(*value) ? asWritten(*value) : "";
  }

  static bool hasText(const JsonNode& node) {
    return node.kind == JsonKind::kText ||
           std::any_of(node.children.begin(), node.children.end(),
                       [](const JsonNode& child) { return hasText(child); });
  }

  static std::string asWritten(const JsonNode& node) {
    if (node.kind != JsonKind::kArray) {
      return node.text;
    }
    std::string out = "[";
    for (const JsonNode& child : node.children) {
      out += (out.size() > 1 ? ", " : "") + asWritten(child);
    }
    return out + "]";
  }

  /// Text that a value stands in: sets from the lowest, then the gate file; -1 for defaults.
  int layerOf(std::string_view pointer) const {
    const auto set = set_of_.find(pointer);
    if (set != set_of_.end()) {
      return static_cast<int>(set->second - sets_.data());
    }
    return given(pointer) == nullptr ? -1 : static_cast<int>(sets_.size());
  }

  /// The shelf's motors, and the one that the gate names in the places of its sizes.
  void readMotors() {
    constexpr std::string_view kMotor = "/drive/motor";
    const auto layer_of = [&](std::string_view pointer) { return layerOf(pointer); };
    std::vector<NamedMotor> made;
    for (const std::string& name : motors_.names()) {
      made.push_back(motors_.made(name, spec_, layer_of));
    }
    const JsonNode* node = given(kMotor);
    const std::string name = spec_.drive.motor.name;
    const bool own = node != nullptr && node->kind == JsonKind::kObject;
    if (!own && !faulty_.contains(kMotor)) {
      if (motors_.find(name) == nullptr) {
        faulty_.insert(std::string(kMotor));
        reporter_.add(kMotor, node, noSuchMotor(name));
      } else {
        takeMotor(motors_.made(name, spec_, layer_of), *motors_.find(name));
      }
    }
    spec_.motors = std::make_shared<const std::vector<NamedMotor>>(std::move(made));
  }

  Complaint noSuchMotor(const std::string& name) const {
    std::vector<std::string> names;
    for (const std::string& one : motors_.names()) {
      names.push_back(inQuotes(one));
    }
    const std::string nearest = nearestName(name, motors_.names());
    return {inQuotes(name) + " is not a motor of the hardware set",
            joined(names, "or") + ", or an object of sizes",
            nearest.empty() ? "" : "did you mean " + inQuotes(nearest) + "?"};
  }

  /// Its values from where they stand, so that they are told of there and have their origin.
  void takeMotor(const NamedMotor& motor, const MotorSet::Values& values) {
    spec_.drive.motor = motor.drive;
    spec_.hardware.motor = motor.body;
    for (const auto& [pointer, value] : values) {
      if (value.layer < layerOf(pointer)) {
        continue;
      }
      given_.insert_or_assign(pointer, value.node);
      set_of_.erase(pointer);
      if (value.layer < static_cast<int>(sets_.size())) {
        set_of_.emplace(pointer, &sets_[static_cast<std::size_t>(value.layer)]);
      }
    }
  }

  nlohmann::ordered_json motorValues() const {
    auto all = nlohmann::ordered_json::object();
    for (const NamedMotor& motor : *spec_.motors) {
      GateSpec held;
      held.drive.motor = motor.drive;
      held.hardware.motor = motor.body;
      auto& one = all[motor.drive.name];
      for (const Parameter* row : motorRows()) {
        one[std::string(keyOf(*row))] = valueOf(*row, held);
      }
    }
    return all;
  }

  Reporter& reporter_;
  const std::vector<SetLayer>& sets_;
  GateSpec spec_;
  MotorSet motors_;
  int layer_ = 0;  ///< text being read: sets from the lowest, then the gate file
  std::unordered_map<std::string_view, const JsonNode*> given_;
  std::unordered_map<std::string_view, const SetLayer*> set_of_;  ///< where a set has the last word
  std::set<std::string, std::less<>> faulty_;
};

/// "hardware": "heavy" as the object it is short for.
void spellOutSet(JsonNode& root) {
  JsonNode* hardware = root.member("hardware");
  if (hardware == nullptr || hardware->kind != JsonKind::kText) {
    return;
  }
  JsonNode set = *hardware;
  set.key = "set";
  hardware->kind = JsonKind::kObject;
  hardware->text.clear();
  hardware->children = {std::move(set)};
}

/// The texts of the set that the gate, or the command line, names.
std::vector<SetLayer> setsOf(JsonNode& root, const HardwareInput& input, Reporter& reporter) {
  JsonNode* hardware = root.member("hardware");
  JsonNode* set = hardware == nullptr ? nullptr : hardware->member("set");
  if (!input.chosen.empty()) {
    return loadSet(input.chosen, nullptr, input, reporter);
  }
  const bool named = set != nullptr && (set->kind == JsonKind::kText ||
                                        (set->kind == JsonKind::kNonFinite && set->from_override));
  if (!named) {
    return groundSet(reporter);
  }
  return loadSet(set->text, set, input, reporter);
}

/// The command line's word stands above the gate file's.
void nameSet(ResolvedGate& gate, const std::string& chosen) {
  gate.spec.hardware.set = chosen;
  for (ResolvedValue& value : gate.values) {
    if (value.pointer == kShelfPointer || value.pointer == "/hardware/set") {
      value.value = chosen;
      value.origin = Origin::kOverride;
    }
  }
}

}  // namespace

std::string_view toString(Origin origin) {
  switch (origin) {
    case Origin::kGiven:
      return "given";
    case Origin::kOverride:
      return "override";
    case Origin::kDefault:
      return "default";
    case Origin::kSet:
      return "set";
    case Origin::kComputed:
      return "computed";
  }
  return "";
}

ReadResult readGate(std::string_view text, std::string_view source_name,
                    std::span<const Override> overrides, const HardwareInput& hardware) {
  JsonText parsed = parseJsonUpTo(kMaxGateFileBytes, text, source_name, "a gate file");
  Reporter reporter(source_name);
  reporter.add(parsed.problems);
  JsonNode& root = parsed.root;
  if (root.kind != JsonKind::kObject) {
    if (parsed.complete) {
      reporter.add("", &root, {"a gate file is a JSON object, not " + describe(root), "", ""});
    }
    root = JsonNode{};
    root.kind = JsonKind::kObject;
    parsed.complete = false;  // what is missing from it says nothing
  }
  if (const Complaint kind = otherKindOf(root); !kind.message.empty()) {
    reporter.add("", &root, kind);
    return {std::nullopt, reporter.sorted()};
  }
  spellOutSet(root);
  applyOverrides(overrides, root, reporter);
  spellOutSet(root);
  const std::vector<SetLayer> sets = setsOf(root, hardware, reporter);
  GateReader reader(reporter, sets);
  reader.read(root, parsed.complete, hardware);
  if (!reporter.empty()) {
    return {std::nullopt, reporter.sorted()};
  }
  ResolvedGate gate = reader.resolved();
  if (!hardware.chosen.empty()) {
    nameSet(gate, hardware.chosen);
  }
  return {std::move(gate), {}};
}

}  // namespace leafstack
