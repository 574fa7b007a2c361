#include "params/motor_set.h"

#include <algorithm>

#include "params/reading/characters.h"
#include "params/reading/text.h"
#include "params/table/table.h"
#include "params/table/values.h"

namespace leafstack {
namespace {

constexpr std::size_t kLongestMotorName = 40;
constexpr std::string_view kOwnRows = "/drive/motor";
constexpr std::string_view kSharedRows = "/hardware/motor";

/// What comparisons and results call a gate file's own motor.
bool isReserved(std::string_view name) {
  return name == "custom" || name == "given";
}

std::vector<std::string> keysOfMotors() {
  std::vector<std::string> keys;
  for (const Parameter* row : motorRows()) {
    keys.emplace_back(keyOf(*row));
  }
  return keys;
}

bool isShared(const Parameter& row) {
  return parentOf(row) == kSharedRows;
}

}  // namespace

const std::vector<const Parameter*>& motorRows() {
  static const auto kRows = [] {
    std::vector<const Parameter*> rows = childrenOf(kOwnRows);
    const std::vector<const Parameter*> shared = childrenOf(kSharedRows);
    rows.insert(rows.end(), shared.begin(), shared.end());
    return rows;
  }();
  return kRows;
}

const MotorSet::Values* MotorSet::find(std::string_view name) const {
  const auto found = std::find_if(motors_.begin(), motors_.end(),
                                  [&](const Motor& motor) { return motor.name == name; });
  return found == motors_.end() ? nullptr : &found->values;
}

std::vector<std::string> MotorSet::names() const {
  std::vector<std::string> names;
  for (const Motor& motor : motors_) {
    names.push_back(motor.name);
  }
  return names;
}

/// Null after reporting why it is no motor.
MotorSet::Motor* MotorSet::motorFor(const std::string& pointer, const JsonNode& member) {
  if (member.kind != JsonKind::kObject) {
    reporter_.add(pointer, &member,
                  {describe(member) + " is not a motor", "an object of keys", ""});
    return nullptr;
  }
  const auto known = std::find_if(motors_.begin(), motors_.end(),
                                  [&](const Motor& motor) { return motor.name == member.key; });
  if (known != motors_.end()) {
    return &*known;
  }
  const std::string most = std::to_string(kLongestMotorName);
  if (isReserved(member.key)) {
    reporter_.addKey(pointer, member,
                     {inQuotes(member.key) + " is what a gate file's own motor is called", "",
                      "give it another name"});
    return nullptr;
  }
  const std::size_t length = codePoints(member.key, U'?').size();
  if (length == 0 || length > kLongestMotorName || firstNoText(member.key)) {
    reporter_.addKey(pointer, member,
                     {inQuotes(member.key) + " is no motor's name",
                      "text of 1 to " + most + " characters on one line", ""});
    return nullptr;
  }
  if (motors_.size() == kMostMotors) {
    reporter_.addKey(
        pointer, member,
        {"one motor more than the " + std::to_string(kMostMotors) + " that a shelf may hold", "",
         ""});
    return nullptr;
  }
  return &motors_.emplace_back(Motor{member.key, {}});
}

void MotorSet::collect(const std::string& pointer, const JsonNode& motors, int layer,
                       const GateSpec& shared) {
  for (const JsonNode& member : motors.children) {
    const std::string own = childPointer(pointer, member.key);
    if (Motor* motor = motorFor(own, member)) {
      collectOne(own, member, layer, shared, *motor);
    }
  }
}

void MotorSet::collectOne(const std::string& pointer, const JsonNode& object, int layer,
                          const GateSpec& shared, Motor& motor) {
  GateSpec scratch = shared;
  for (const JsonNode& member : object.children) {
    const std::string own = childPointer(pointer, member.key);
    const auto& rows = motorRows();
    const auto row = std::find_if(rows.begin(), rows.end(), [&](const Parameter* candidate) {
      return keyOf(*candidate) == member.key;
    });
    if (row == rows.end()) {
      const std::vector<std::string> keys = keysOfMotors();
      const std::string nearest = nearestName(member.key, keys);
      reporter_.addKey(
          own, member,
          {"unknown key " + inQuotes(member.key), nearest.empty() ? joined(keys, "or") : "",
           nearest.empty() ? "" : "did you mean " + inQuotes(nearest) + "?"});
      continue;
    }
    Parameter here = **row;  // told where it stands
    here.pointer = own.c_str();
    if (assign(here, member, scratch, reporter_)) {
      motor.values.insert_or_assign((*row)->pointer, Value{&member, layer});
    }
  }
}

NamedMotor MotorSet::made(std::string_view name, const GateSpec& spec,
                          const std::function<int(std::string_view)>& layer_of) const {
  GateSpec scratch = spec;
  Reporter silent("");  // all of it was looked at
  const Values* values = find(name);
  for (const Parameter* row : motorRows()) {
    if (!isShared(*row)) {
      assignDefault(*row, scratch);
    }
    const auto value = values == nullptr ? Values::const_iterator{} : values->find(row->pointer);
    const bool given = values != nullptr && value != values->end();
    if (given && (!isShared(*row) || value->second.layer >= layer_of(row->pointer))) {
      assign(*row, *value->second.node, scratch, silent);
    }
  }
  scratch.drive.motor.name = name;
  return {scratch.drive.motor, scratch.hardware.motor};
}

}  // namespace leafstack
