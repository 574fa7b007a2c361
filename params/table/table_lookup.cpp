// Questions asked of the table (declared in table.h).
#include <array>
#include <unordered_map>

#include "params/reading/text.h"
#include "params/spec/section.h"
#include "params/table/table.h"
#include "params/table/as_built/panels_built.h"
#include "params/table/obstacles/obstacles.h"

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

std::vector<std::string> choiceNames(const Parameter& parameter) {
  return {parameter.choices.begin(), parameter.choices.end()};
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
      return "a list of up to " + std::to_string(parameter.limits.most_items) +
             " [x, z] pairs, or one such list for every track";
    case Kind::kObstacles:
      return obstaclesInWords();
    case Kind::kSurroundings:
      return surroundingsInWords();
    case Kind::kPanelsBuilt:
      return panelsBuiltInWords();
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

std::string_view gatePointerOf(std::string_view pointer) {
  // Sizes that go by the gate: pulleys by the rail's depth, what is made of stock by the design.
  constexpr std::array<std::array<std::string_view, 2>, 30> kElsewhere = {{
      {"/hardware/pulley/pitch_mm", "/ropes/pulley_pitch_mm"},
      {"/hardware/pulley/diameter_mm", "/ropes/pulley_pitch_mm"},
      {"/hardware/pulley/outside_mm", "/ropes/pulley_pitch_mm"},
      {"/hardware/pulley/pulley_pitch_mm", "/ropes/pulley_pitch_mm"},
      {"/hardware/pulley/inset_mm", "/ropes/pulley_inset_mm"},
      {"/hardware/pulley/rope_mm", "/ropes/diameter_mm"},
      {"/hardware/terminal/rope_mm", "/ropes/diameter_mm"},
      {"/hardware/bracket/inset_mm", "/ropes/bracket_inset_mm"},
      {"/hardware/bracket/clearance_mm", "/ropes/bracket_clearance_mm"},
      {"/hardware/guide/channel_mm", "/guides/channel_width_mm"},
      {"/hardware/guide/channel_width_mm", "/guides/channel_width_mm"},
      {"/hardware/guide/channel_depth_mm", "/guides/channel_depth_mm"},
      {"/hardware/guide/width_mm", "/guides/channel_width_mm"},
      {"/hardware/guide/depth_mm", "/guides/channel_depth_mm"},
      {"/hardware/guide/rail_mm", "/guides/rail_mm"},
      {"/hardware/guide/leg_mm", "/guides/rail_mm"},
      {"/hardware/guide/rail_leg_mm", "/guides/rail_mm"},
      {"/hardware/guide/recess_mm", "/guides/recess_mm"},
      {"/hardware/guide/packing_mm", "/guides/packing_mm"},
      {"/hardware/post/size_mm", "/guides/post_mm"},
      {"/hardware/post/post_mm", "/guides/post_mm"},
      {"/hardware/post/width_mm", "/guides/post_mm"},
      {"/hardware/post/side_mm", "/guides/post_mm"},
      {"/hardware/rack/inset_mm", "/drive/rack_inset_mm"},
      {"/hardware/motor/packing_mm", "/drive/packing_mm"},
      {"/hardware/channel", "/guides"},
      {"/hardware/rail", "/gate/bottom_rail"},
      {"/hardware/rope", "/ropes"},
      {"/hardware/ropes", "/ropes"},
      {"/hardware/guides", "/guides"},
  }};
  for (const auto& [here, there] : kElsewhere) {
    if (here == pointer) {
      return there;
    }
  }
  return "";
}

}  // namespace leafstack
