#include "exporters/desk/form.h"

#include <nlohmann/json.hpp>

#include "params/read_gate.h"
#include "params/reading/json_tree.h"
#include "params/table/table.h"

namespace leafstack::desk {
namespace {

using Json = nlohmann::ordered_json;

/// How a field of this kind is filled in.
const char* fieldOf(Kind kind) {
  switch (kind) {
    case Kind::kGroup:
    case Kind::kVersion:
      return "";
    case Kind::kFlag:
      return "flag";
    case Kind::kChoice:
      return "choice";
    case Kind::kText:
      return "text";
    case Kind::kSurvey:
    case Kind::kObstacles:
    case Kind::kSurroundings:
    case Kind::kPanelsBuilt:
      return "points";
    case Kind::kAutoNumber:
    case Kind::kAutoInteger:
    case Kind::kChosenNumber:
    case Kind::kNumber:
      return "number";
    case Kind::kSection:
    case Kind::kAutoSection:
      return "section";
    case Kind::kAutoList:
      return "list";
    case Kind::kMotor:
    case Kind::kMotorSet:
    case Kind::kShelf:
      return "name";
  }
  return "text";
}

bool mayBeAuto(Kind kind) {
  return kind == Kind::kAutoNumber || kind == Kind::kAutoInteger || kind == Kind::kChosenNumber ||
         kind == Kind::kAutoSection || kind == Kind::kAutoList;
}

/// Whether the tree has a value at this pointer.
bool has(const JsonNode& root, std::string_view pointer) {
  const JsonNode* node = &root;
  while (node != nullptr && !pointer.empty()) {
    pointer.remove_prefix(1);
    const std::size_t end = std::min(pointer.find('/'), pointer.size());
    node = node->kind == JsonKind::kObject ? node->member(pointer.substr(0, end)) : nullptr;
    pointer.remove_prefix(end);
  }
  return node != nullptr;
}

}  // namespace

std::string formJson() {
  const JsonNode common = parseJson(starterGate(), "starter").root;
  Json rows = Json::array();
  for (const Parameter& one : parameterTable()) {
    const std::string field = fieldOf(one.kind);
    if (field.empty()) {
      continue;
    }
    rows.push_back({{"pointer", one.pointer},
                    {"field", field},
                    {"auto", mayBeAuto(one.kind)},
                    {"unit", one.unit},
                    {"default", Json::parse(one.default_json, nullptr, false)},
                    {"required", one.required},
                    {"choices", choiceNames(one)},
                    {"allowed", allowedText(one)},
                    {"meaning", one.meaning},
                    {"source", one.source},
                    {"is_common", has(common, one.pointer)}});
  }
  return rows.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace leafstack::desk
