// Questions asked of the table (declared in table.h).
#include <unordered_map>

#include "params/reading/text.h"
#include "params/spec/section.h"
#include "params/table/table.h"

namespace leafstack {
namespace {

std::string withUnit(const std::string& text, const Parameter& parameter) {
  return *parameter.unit == '\0' ? text : text + ' ' + parameter.unit;
}

std::string rangeText(const Parameter& parameter) {
  const Limits& limits = parameter.limits;
  if (limits.least == limits.most) {
    return withUnit(formatNumber(limits.least), parameter);
  }
  const std::string most = withUnit(formatNumber(limits.most), parameter);
  return limits.least_excluded ? "more than " + formatNumber(limits.least) + ", at most " + most
                               : formatNumber(limits.least) + " to " + most;
}

std::string choicesText(const Parameter& parameter, std::string_view last_word) {
  std::vector<std::string> names;
  for (const char* choice : parameter.choices) {
    names.push_back(inQuotes(choice));
  }
  return joined(names, last_word);
}

std::string listText(const Parameter& parameter) {
  const Limits& limits = parameter.limits;
  return "a list of " + std::to_string(limits.fewest_items) + " to " +
         std::to_string(limits.most_items) + " numbers, each " + rangeText(parameter) +
         ", or \"auto\"";
}

}  // namespace

const Parameter* findParameter(std::string_view pointer) {
  static const auto kByPointer = [] {
    std::unordered_map<std::string_view, const Parameter*> map;
    for (const Parameter& parameter : parameterTable()) {
      map.emplace(parameter.pointer, &parameter);
    }
    return map;
  }();
  const auto found = kByPointer.find(pointer);
  return found == kByPointer.end() ? nullptr : found->second;
}

std::string_view parentOf(const Parameter& parameter) {
  const std::string_view pointer = parameter.pointer;
  return pointer.substr(0, pointer.rfind('/'));
}

std::string_view keyOf(const Parameter& parameter) {
  const std::string_view pointer = parameter.pointer;
  return pointer.substr(pointer.rfind('/') + 1);
}

std::vector<const Parameter*> childrenOf(std::string_view group) {
  std::vector<const Parameter*> out;
  for (const Parameter& parameter : parameterTable()) {
    if (parentOf(parameter) == group) {
      out.push_back(&parameter);
    }
  }
  return out;
}

std::string allowedText(const Parameter& parameter) {
  switch (parameter.kind) {
    case Kind::kGroup:
      return "an object";
    case Kind::kVersion:
    case Kind::kNumber:
      return rangeText(parameter);
    case Kind::kAutoNumber:
    case Kind::kChosenNumber:
      return rangeText(parameter) + ", or \"auto\"";
    case Kind::kAutoInteger:
      return "a whole number, " + rangeText(parameter) + ", or \"auto\"";
    case Kind::kFlag:
      return "true or false";
    case Kind::kText:
      return "text of up to " + formatNumber(parameter.limits.most) + " characters on one line";
    case Kind::kChoice:
      return choicesText(parameter, "or");
    case Kind::kSection:
      return sectionAllowed();
    case Kind::kAutoSection:
      return sectionAllowed() + ", or \"auto\"";
    case Kind::kAutoList:
      return listText(parameter);
    case Kind::kSurvey:
      return "a list of up to " + std::to_string(parameter.limits.most_items) + " [x, z] pairs";
    case Kind::kMotor:
      return "a motor of the hardware set, such as " + choicesText(parameter, "or") +
             ", or an object of sizes";
    case Kind::kMotorSet:
      return "an object of motors by name";
    case Kind::kShelf:
      return "a hardware set's name or file, or an object of sizes";
  }
  return {};
}

std::string allowedItem(const Parameter& parameter) {
  return rangeText(parameter);
}

}  // namespace leafstack
