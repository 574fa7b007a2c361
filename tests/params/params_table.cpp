// The table itself, and what is made from it: schema, starter gate, reference.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "params/read_gate.h"
#include "params/reading/units.h"
#include "params/spec/section.h"
#include "params/table/table.h"
#include "params/table/values.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

const Json& schema() {
  static const Json kSchema = Json::parse(gateSchema());
  return kSchema;
}

/// The schema of a parameter, reached by its pointer.
const Json& schemaOf(const Parameter& parameter) {
  if (parentOf(parameter).empty()) {
    return schema().at("properties").at(std::string(keyOf(parameter)));
  }
  const Json* group = &schemaOf(*findParameter(parentOf(parameter)));
  if (group->contains("anyOf")) {  // a motor: a name, or an object
    group = &group->at("anyOf").at(1);
  }
  return group->at("properties").at(std::string(keyOf(parameter)));
}

std::size_t countProperties(const Json& node) {
  std::size_t count = 0;
  if (node.is_object()) {
    if (node.contains("properties") && node.at("properties").is_object()) {
      count += node.at("properties").size();
      EXPECT_EQ(node.value("additionalProperties", Json(nullptr)), Json(false));
      EXPECT_EQ(node.value("type", Json(nullptr)), Json("object"));
    }
  }
  if (node.is_structured()) {
    for (const auto& child : node) {
      count += countProperties(child);
    }
  }
  return count;
}

bool isNumeric(Kind kind) {
  return kind == Kind::kNumber || kind == Kind::kAutoNumber || kind == Kind::kAutoInteger ||
         kind == Kind::kChosenNumber;
}

/// A gate with one value set, by its pointer.
ReadResult readWith(const Parameter& parameter, const std::string& value) {
  const std::string text = R"({"site": {"opening_mm": 6000}})";
  return readGate(text, "gate.json", std::vector<Override>{{parameter.pointer, value}});
}

/// Whether the one value was accepted by its own row, whatever rules between values say.
bool rowAccepts(const Parameter& parameter, double value) {
  GateSpec spec;
  Reporter reporter("value");
  JsonNode node;
  node.kind = JsonKind::kNumber;
  node.number = value;
  return assign(parameter, node, spec, reporter);
}

TEST(Table, PointersAreUniqueAndParentsComeFirst) {
  std::set<std::string_view> seen = {""};
  for (const Parameter& parameter : parameterTable()) {
    EXPECT_TRUE(seen.contains(parentOf(parameter))) << parameter.pointer;
    EXPECT_TRUE(seen.insert(parameter.pointer).second) << parameter.pointer;
    EXPECT_EQ(findParameter(parameter.pointer), &parameter);
  }
  EXPECT_EQ(findParameter("/site/opening"), nullptr);
}

TEST(Table, UnitsStandInTheNames) {
  for (const Parameter& parameter : parameterTable()) {
    std::string unit = parameter.unit;
    if (unit.empty() || unit == kGradeUnit) {
      EXPECT_FALSE(keyOf(parameter).ends_with("_mm")) << parameter.pointer;
      continue;
    }
    if (unit == kGradeUnit) {
      continue;  // a ratio: no unit to name
    }
    std::replace(unit.begin(), unit.end(), '/', '_');
    EXPECT_TRUE(keyOf(parameter).ends_with('_' + unit)) << parameter.pointer;
  }
}

TEST(Table, EveryRowIsExplained) {
  for (const Parameter& parameter : parameterTable()) {
    const std::string meaning = parameter.meaning;
    EXPECT_GE(meaning.size(), 5U) << parameter.pointer;
    EXPECT_EQ(meaning.find('\n'), std::string::npos) << parameter.pointer;
    EXPECT_NE(meaning.back(), '.') << parameter.pointer;
    EXPECT_EQ(parameter.kind == Kind::kGroup, std::string(parameter.source).empty())
        << parameter.pointer;
    EXPECT_EQ(parameter.kind == Kind::kChoice || parameter.kind == Kind::kMotor,
              !parameter.choices.empty())
        << parameter.pointer;
  }
}

TEST(Table, EveryRangeIsEnforcedAtBothEnds) {
  for (const Parameter& parameter : parameterTable()) {
    if (!isNumeric(parameter.kind)) {
      continue;
    }
    const Limits& limits = parameter.limits;
    const double step = 0.001 * (limits.most - limits.least) + 0.001;
    EXPECT_EQ(rowAccepts(parameter, limits.least), !limits.least_excluded) << parameter.pointer;
    EXPECT_TRUE(rowAccepts(parameter, limits.most)) << parameter.pointer;
    EXPECT_FALSE(rowAccepts(parameter, limits.least - step)) << parameter.pointer;
    EXPECT_FALSE(rowAccepts(parameter, limits.most + step)) << parameter.pointer;
    EXPECT_LE(limits.least, limits.most) << parameter.pointer;
  }
}

TEST(Table, EveryChoiceReadsBackAsItself) {
  for (const Parameter& parameter : parameterTable()) {
    for (const char* choice : parameter.choices) {
      if (std::string_view(parameter.pointer).starts_with("/hardware/")) {
        continue;  // kinds of hardware go together: below
      }
      const ReadResult result = readWith(parameter, choice);
      ASSERT_TRUE(result.gate) << parameter.pointer << ' ' << choice;
      GateSpec spec = result.gate->spec;
      EXPECT_EQ(valueOf(parameter, spec), choice) << parameter.pointer;
    }
  }
}

TEST(Table, EveryKindOfHardwareReadsBackAsItself) {
  for (const Parameter& parameter : parameterTable()) {
    const bool is_shelf = std::string_view(parameter.pointer).starts_with("/hardware/");
    for (const char* choice : is_shelf ? parameter.choices : std::span<const char* const>()) {
      GateSpec spec;
      Reporter reporter("value");
      JsonNode node;
      node.kind = JsonKind::kText;
      node.text = choice;
      EXPECT_TRUE(assign(parameter, node, spec, reporter)) << parameter.pointer << ' ' << choice;
      EXPECT_EQ(valueOf(parameter, spec), choice) << parameter.pointer;
    }
  }
}

TEST(Table, NoRowAcceptsNonsense) {
  for (const Parameter& parameter : parameterTable()) {
    for (const char* value : {"null", "[[[]]]", "{\"no\": 1}", "NaN", "1e400", "-1e300"}) {
      // After --set any words are a text, but no set has such a name.
      const bool text =
          parameter.kind == Kind::kText && parameter.pointer != std::string("/hardware/set");
      EXPECT_EQ(readWith(parameter, value).gate.has_value(), text)
          << parameter.pointer << ' ' << value;
    }
  }
}

TEST(Table, EverySetHasTheMotorsThatAreNamed) {
  const Parameter* motor = findParameter("/drive/motor");
  for (const BuiltInSet& set : builtInSets()) {
    const ReadResult read =
        readGate(R"({"site": {"opening_mm": 6000}, "hardware": ")" + std::string(set.name) + "\"}",
                 "gate.json");
    ASSERT_TRUE(read.gate) << set.name;
    for (const std::string name : motor->choices) {
      const auto& motors = *read.gate->spec.motors;
      EXPECT_TRUE(std::any_of(motors.begin(), motors.end(),
                              [&](const NamedMotor& one) {
                                return one.drive.name == name && one.drive.force_N.has_value();
                              }))
          << set.name << ' ' << name;
    }
  }
}

TEST(Schema, HasEveryRowAndNoOther) {
  EXPECT_EQ(schema().at("$schema"), "https://json-schema.org/draft/2020-12/schema");
  // A motor of a set has the keys of both groups that a gate's motor is in.
  const std::size_t of_motors =
      childrenOf("/drive/motor").size() + childrenOf("/hardware/motor").size();
  const std::size_t of_site = 7;  // name, box_mm; file, name, at_mm, turned_deg, unit
  const std::size_t of_panels = kPanelMeasures + 2;  // number, uncertainty_mm
  EXPECT_EQ(countProperties(schema()),
            parameterTable().size() + of_motors + of_site + of_panels + 1);  // $schema
  for (const Parameter& parameter : parameterTable()) {
    const Json& node = schemaOf(parameter);
    EXPECT_EQ(node.at("description"), parameter.meaning) << parameter.pointer;
    EXPECT_EQ(node.value("unit", ""), parameter.unit) << parameter.pointer;
    const bool has_default = parameter.kind != Kind::kGroup && !parameter.required;
    EXPECT_EQ(node.contains("default"), has_default) << parameter.pointer;
    if (has_default) {
      EXPECT_EQ(node.at("default"), Json::parse(parameter.default_json)) << parameter.pointer;
    }
    EXPECT_EQ(node.contains("default_aluminium"), parameter.default_aluminium != nullptr)
        << parameter.pointer;
  }
}

TEST(Schema, RangesAndChoicesAreTheTables) {
  for (const Parameter& parameter : parameterTable()) {
    const Json& whole = schemaOf(parameter);
    const Json& node = whole.contains("anyOf") ? whole.at("anyOf").at(0) : whole;
    if (isNumeric(parameter.kind)) {
      const char* least = parameter.limits.least_excluded ? "exclusiveMinimum" : "minimum";
      EXPECT_EQ(node.at(least), parameter.limits.least) << parameter.pointer;
      EXPECT_EQ(node.at("maximum"), parameter.limits.most) << parameter.pointer;
    }
    if (parameter.kind == Kind::kChoice) {
      EXPECT_EQ(node.at("enum").size(), parameter.choices.size()) << parameter.pointer;
    }
    const bool holds_others = parameter.kind == Kind::kGroup || parameter.kind == Kind::kMotor ||
                              parameter.kind == Kind::kMotorSet || parameter.kind == Kind::kShelf;
    const bool takes_auto =
        parameter.kind == Kind::kAutoNumber || parameter.kind == Kind::kAutoInteger ||
        parameter.kind == Kind::kAutoSection || parameter.kind == Kind::kChosenNumber ||
        parameter.kind == Kind::kAutoList;
    EXPECT_EQ(whole.dump().find("\"const\":\"auto\"") != std::string::npos && !holds_others,
              takes_auto)
        << parameter.pointer;
  }
}

TEST(Schema, SectionPatternIsWhatTheReaderUnderstands) {
  // std::regex works on bytes, so the multiplication sign is left to the check by jsonschema.
  std::string bytes(sectionPattern());
  for (std::size_t at = bytes.find("\xC3\x97"); at != std::string::npos;
       at = bytes.find("\xC3\x97")) {
    bytes.erase(at, 2);
  }
  const std::regex pattern(bytes);
  for (const char* text : {"RHS 100x50x3",    "rhs100X50x3", " SHS 50 x 50 x 3 ", "SHS 50x3",
                           "SHS 50x50x2.5",   "RHS 100x3",   "RHS 100x50x3x3",    "SHS",
                           "SHS 50",          "SHS 50x",     "50x50x3",           "CHS 48x3",
                           "SHS 50,5x3",      "SHS 5e1x3",   "SHS -50x3",         "SHS 50x50x3mm",
                           "RHS  100x 50 x3", "SHS 50.x3",   "SHS 50x2.1234",     "R HS 50x50x3"}) {
    auto parsed = parseSection(text);
    const auto* fault = std::get_if<SectionFault>(&parsed);
    const bool understood =
        fault == nullptr || fault->suggestion.find("hollow") != std::string::npos;
    EXPECT_EQ(std::regex_match(text, pattern), understood) << text;
  }
}

TEST(StarterGate, ReadsBackAsTheDefaults) {
  const std::string text = everyKeyGate();
  EXPECT_EQ(text.back(), '\n');
  const ReadResult starter = readGate(text, "starter");
  const ReadResult least = readGate(R"({"site": {"opening_mm": 6000}})", "least");
  ASSERT_TRUE(starter.gate);
  ASSERT_TRUE(least.gate);
  ASSERT_EQ(starter.gate->values.size(), least.gate->values.size());
  for (std::size_t i = 0; i < least.gate->values.size(); ++i) {
    const ResolvedValue& value = starter.gate->values[i];
    EXPECT_EQ(value.pointer, least.gate->values[i].pointer);
    EXPECT_EQ(value.value, least.gate->values[i].value) << value.pointer;
    const bool motor_size = value.pointer.starts_with("/drive/motor/");
    const bool of_set = motor_size || value.pointer == "/hardware/motors";
    const bool shelf = value.pointer.starts_with("/hardware/") && value.pointer != "/hardware/set";
    EXPECT_EQ(value.origin, of_set  ? Origin::kSet
                            : shelf ? Origin::kDefault
                                    : Origin::kGiven)
        << value.pointer;
  }
}

TEST(ParameterReference, HasARowForEveryParameter) {
  const std::string reference = parameterReference();
  std::size_t parameters = 0;
  for (const Parameter& parameter : parameterTable()) {
    const std::string start = "\n| `" + std::string(parameter.pointer) + "` | ";
    const bool listed = reference.find(start) != std::string::npos;
    EXPECT_EQ(listed, parameter.kind != Kind::kGroup) << parameter.pointer;
    parameters += listed ? 1 : 0;
  }
  EXPECT_EQ(static_cast<std::size_t>(std::count(reference.begin(), reference.end(), '\n')),
            parameters + 2);
  EXPECT_NE(
      reference.find("| `/site/opening_mm` | Clear distance between the two fence posts at the "
                     "driveway | mm | required | 1000 to 20000 mm | given by the job |"),
      std::string::npos);
}

}  // namespace
}  // namespace leafstack
