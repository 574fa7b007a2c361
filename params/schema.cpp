// The table as JSON Schema.
#include "params/key_words.h"
#include "params/read_gate.h"
#include "params/reading/units.h"
#include "params/spec/section.h"
#include "params/table/as_built/panels_built.h"
#include "params/table/obstacles/obstacles.h"
#include "params/table/table.h"
#include "params/table/values.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

// One line, and nothing that characters.h does not take for text.
constexpr const char* kOneLinePattern =
    "^[^\\u0000-\\u001f\\u007f-\\u009f\\u061c\\u200e\\u200f\\u2028-\\u202e\\u2066-\\u2069"
    "\\ufdd0-\\ufdef\\ufffe\\uffff]*$";

Json numberSchema(const Parameter& parameter, const char* type) {
  const Limits& limits = parameter.limits;
  Json out;
  out["type"] = type;
  out[limits.least_excluded ? "exclusiveMinimum" : "minimum"] = jsonNumber(limits.least);
  out["maximum"] = jsonNumber(limits.most);
  return out;
}

Json listSchema(const Parameter& parameter, Json items) {
  Json out;
  out["type"] = "array";
  out["items"] = std::move(items);
  out["minItems"] = parameter.limits.fewest_items;
  out["maxItems"] = parameter.limits.most_items;
  return out;
}

Json choicesSchema(const Parameter& parameter) {
  Json out;
  out["enum"] = Json::array();
  for (const char* choice : parameter.choices) {
    out["enum"].push_back(choice);
  }
  return out;
}

Json eitherOf(Json first, Json second) {
  Json out;
  out["anyOf"] = Json::array({std::move(first), std::move(second)});
  return out;
}

/// A number, or a text with a unit. Whether that is in range only the
/// program sees.
Json quantitySchema(const Parameter& parameter) {
  const std::string_view unit = parameter.unit;
  Json number = numberSchema(parameter, "number");
  if (!takesUnits(unit)) {
    return number;
  }
  return eitherOf(std::move(number), Json{{"type", "string"},
                                          {"pattern", unit == "mm"         ? lengthPattern()
                                                      : unit == kGradeUnit ? gradePattern()
                                                                           : quantityPattern()}});
}

Json orAuto(Json schema) {
  if (schema.contains("anyOf")) {
    schema["anyOf"].push_back(Json{{"const", "auto"}});
    return schema;
  }
  return eitherOf(std::move(schema), Json{{"const", "auto"}});
}

Json objectSchema(std::string_view group);

Json surveySchema(const Parameter& parameter) {
  Json pair = listSchema(parameter, quantitySchema(parameter));
  pair["minItems"] = 2;
  pair["maxItems"] = 2;
  const Json line = listSchema(parameter, std::move(pair));
  Json lines = {{"type", "array"}, {"minItems", 1}, {"maxItems", kMostTracks}, {"items", line}};
  return eitherOf(line, std::move(lines));
}

/// Motors by any name, each of the keys of /drive/motor and /hardware/motor.
Json motorSetSchema() {
  Json one = objectSchema("/drive/motor");
  one["properties"].update(objectSchema("/hardware/motor")["properties"]);
  return Json{{"type", "object"}, {"additionalProperties", std::move(one)}};
}

/// What the values look like, without the annotations.
Json valueSchema(const Parameter& parameter) {
  switch (parameter.kind) {
    case Kind::kGroup:
      return objectSchema(parameter.pointer);
    case Kind::kVersion:
      return Json{{"const", jsonNumber(parameter.limits.least)}};
    case Kind::kNumber:
      return quantitySchema(parameter);
    case Kind::kAutoNumber:
    case Kind::kChosenNumber:
      return orAuto(quantitySchema(parameter));
    case Kind::kAutoInteger:
      return orAuto(numberSchema(parameter, "integer"));
    case Kind::kFlag:
      return Json{{"type", "boolean"}};
    case Kind::kText:
      return Json{{"type", "string"},
                  {"maxLength", jsonNumber(parameter.limits.most)},
                  {"pattern", kOneLinePattern}};
    case Kind::kChoice:
      return choicesSchema(parameter);
    case Kind::kSection:
      return Json{{"type", "string"}, {"pattern", sectionPattern()}};
    case Kind::kAutoSection:
      return orAuto(Json{{"type", "string"}, {"pattern", sectionPattern()}});
    case Kind::kAutoList:
      return orAuto(listSchema(parameter, quantitySchema(parameter)));
    case Kind::kSurvey:
      return surveySchema(parameter);
    case Kind::kObstacles: {
      Parameter length = parameter;
      length.unit = "mm";
      return obstaclesSchema(quantitySchema(length));
    }
    case Kind::kSurroundings: {
      Parameter length = parameter;
      length.unit = "mm";
      return surroundingsSchema(quantitySchema(length));
    }
    case Kind::kPanelsBuilt:
      return panelsBuiltSchema(Json{{"type", "string"}, {"pattern", lengthPattern()}});
    case Kind::kMotor:
      return eitherOf(Json{{"type", "string"}}, objectSchema(parameter.pointer));
    case Kind::kMotorSet:
      return motorSetSchema();
    case Kind::kShelf:
      return eitherOf(Json{{"type", "string"},
                           {"maxLength", jsonNumber(parameter.limits.most)},
                           {"pattern", kOneLinePattern}},
                      objectSchema(parameter.pointer));
  }
  return {};
}

Json parameterSchema(const Parameter& parameter) {
  Json out;
  out["title"] = titleOf(parameter);
  out["description"] = parameter.meaning;
  if (*parameter.unit != '\0') {
    out["unit"] = parameter.unit;
  }
  if (*parameter.source != '\0') {
    out["$comment"] = std::string("Source: ") + parameter.source;
  }
  out.update(valueSchema(parameter));
  if (parameter.kind != Kind::kGroup && !parameter.required) {
    out["default"] = Json::parse(parameter.default_json);
  }
  // Editors show these beside the choices; validators pass over them.
  for (const std::string_view text : choiceTexts(parameter)) {
    out["enumDescriptions"].push_back(text);
  }
  for (const std::string& example : examplesOf(parameter)) {
    out["examples"].push_back(Json::parse(example));
  }
  if (parameter.default_aluminium != nullptr) {
    out["default_aluminium"] = Json::parse(parameter.default_aluminium);
  }
  return out;
}

/// Whether a group must be there because something in it must.
bool isRequired(const Parameter& parameter) {
  if (parameter.kind != Kind::kGroup) {
    return parameter.required;
  }
  for (const Parameter* child : childrenOf(parameter.pointer)) {
    if (isRequired(*child)) {
      return true;
    }
  }
  return false;
}

Json objectSchema(std::string_view group) {
  Json out;
  out["type"] = "object";
  out["additionalProperties"] = false;
  Json required = Json::array();
  out["properties"] = Json::object();
  for (const Parameter* child : childrenOf(group)) {
    out["properties"][std::string(keyOf(*child))] = parameterSchema(*child);
    if (isRequired(*child)) {
      required.push_back(keyOf(*child));
    }
  }
  if (!required.empty()) {
    out["required"] = required;
  }
  return out;
}

}  // namespace

std::string gateSchema() {
  Json out;
  out["$schema"] = "https://json-schema.org/draft/2020-12/schema";  // an identifier, not a link
  out["title"] = "leafstack gate file";
  out["description"] =
      "A telescopic sliding gate: its site, panels, guides, ropes and drive. Lengths in mm; the "
      "unit is in the key.";
  out.update(objectSchema(""));
  out["properties"]["$schema"] = {{"type", "string"},
                                  {"description", "Where an editor finds this schema"}};
  return out.dump(2) + '\n';
}

}  // namespace leafstack
