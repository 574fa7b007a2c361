#include <algorithm>
#include <array>
#include <cmath>

#include "params/reading/characters.h"
#include "params/table/obstacles/obstacles.h"
#include "params/table/obstacles/site_items.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kSurroundingItem =
    "a file's name, or an object { \"file\", \"name\", \"at_mm\": [x, y, z], \"turned_deg\", "
    "\"unit\" }";
constexpr std::size_t kMostFileCharacters = 400;

class SurroundingReader : private SiteItemReader {
 public:
  using SiteItemReader::SiteItemReader;

  bool list(const JsonNode& value, const std::string& pointer, std::vector<Surrounding>& found) {
    return listOf(value, pointer, "surroundings", kMostSurroundings, found,
                  [this](const JsonNode& one, const std::string& at, Surrounding& surrounding) {
                    return item(one, at, surrounding);
                  });
  }

 private:
  bool item(const JsonNode& value, const std::string& pointer, Surrounding& one) {
    if (value.kind == JsonKind::kText) {
      return file(value, pointer, one);
    }
    if (value.kind != JsonKind::kObject) {
      return refuse(pointer, value, describe(value) + " is no file of surroundings", kSurroundingItem);
    }
    static const std::array<std::string, 5> kKeys = {"file", "name", "at_mm", "turned_deg", "unit"};
    bool fine = keysKnown(value, pointer, kKeys);
    if (const JsonNode* const name = value.member("file")) {
      fine = file(*name, childPointer(pointer, "file"), one) && fine;
    } else {
      fine = refuse(pointer, value, "surroundings without a file", kSurroundingItem);
    }
    if (const JsonNode* const name = value.member("name")) {
      fine = nameIn(*name, childPointer(pointer, "name"), one.name) && fine;
    }
    if (const JsonNode* const at = value.member("at_mm")) {
      const auto point_mm = point(*at, childPointer(pointer, "at_mm"), "place");
      fine = point_mm && fine;
      one.at_mm = point_mm.value_or(one.at_mm);
    }
    if (const JsonNode* const turned = value.member("turned_deg")) {
      fine = angle(*turned, childPointer(pointer, "turned_deg"), one.turned_deg) && fine;
    }
    if (const JsonNode* const unit = value.member("unit")) {
      fine = unitIn(*unit, childPointer(pointer, "unit"), one) && fine;
    }
    return fine;
  }

  /// What the file is called where it has no other name: without folder and ending.
  static std::string nameOf(const std::string& file) {
    const std::string last = file.substr(file.find_last_of('/') + 1);
    const std::string stem = last.substr(0, last.find_last_of('.'));
    return (stem.empty() ? last : stem).substr(0, kMostSiteNameCharacters);
  }

  bool file(const JsonNode& value, const std::string& pointer, Surrounding& one) {
    const std::string allowed = "a STEP, STL or GLB file's name";
    if (value.kind != JsonKind::kText || value.text.empty() || value.text.back() == '/') {
      return refuse(pointer, value, describe(value) + " is no file's name", allowed);
    }
    if (const auto code = firstNoText(value.text)) {
      return refuse(pointer, value, describe(value) + " has " + nameOfNoText(*code), allowed);
    }
    if (value.text.size() > kMostFileCharacters) {
      return refuse(pointer, value, describe(value) + " is too long", allowed);
    }
    one.file = value.text;
    one.name = one.name.empty() ? nameOf(one.file) : one.name;
    return true;
  }

  bool angle(const JsonNode& value, const std::string& pointer, double& degrees) {
    if (value.kind != JsonKind::kNumber || !(std::abs(value.number) <= 360)) {
      return refuse(pointer, value, describe(value) + " is no angle", "-360 to 360 degrees");
    }
    degrees = value.number;
    return true;
  }

  bool unitIn(const JsonNode& value, const std::string& pointer, Surrounding& one) {
    const auto known =
        std::find_if(kDrawnUnits.begin(), kDrawnUnits.end(), [&](const DrawnUnit& unit) {
          return value.kind == JsonKind::kText && value.text == unit.name;
        });
    if (known == kDrawnUnits.end()) {
      std::vector<std::string> names;
      for (const DrawnUnit& unit : kDrawnUnits) {
        names.push_back(inQuotes(unit.name));
      }
      return refuse(pointer, value, describe(value) + " is no unit", joined(names, "or"));
    }
    one.unit = known->name;
    return true;
  }
};

}  // namespace

bool readSurroundings(const JsonNode& value, const std::string& pointer, Reporter& reporter,
                      std::vector<Surrounding>& surroundings) {
  surroundings.clear();
  const bool fine = SurroundingReader(reporter).list(value, pointer, surroundings);
  if (!fine) {
    surroundings.clear();
  }
  return fine;
}

Json writtenSurroundings(const std::vector<Surrounding>& surroundings) {
  Json list = Json::array();
  for (const Surrounding& one : surroundings) {
    Json item = {{"file", one.file},
                 {"name", one.name},
                 {"at_mm", Json(one.at_mm)},
                 {"turned_deg", one.turned_deg}};
    if (!one.unit.empty()) {
      item["unit"] = one.unit;
    }
    list.push_back(std::move(item));
  }
  return list;
}

const char* surroundingsInWords() {
  return "a list of up to 20 file names, or objects { \"file\", \"name\", \"at_mm\": [x, y, z], "
         "\"turned_deg\", \"unit\" }";
}

Json surroundingsSchema(const Json& length) {
  Json units = Json::array();
  for (const DrawnUnit& unit : kDrawnUnits) {
    units.push_back(unit.name);
  }
  const Json file = {{"type", "string"}, {"minLength", 1}, {"maxLength", kMostFileCharacters}};
  const Json one = {
      {"type", "object"},
      {"properties",
       {{"file", file},
        {"name", {{"type", "string"}, {"minLength", 1}, {"maxLength", kMostSiteNameCharacters}}},
        {"at_mm", pointSchema(length)},
        {"turned_deg", {{"type", "number"}, {"minimum", -360}, {"maximum", 360}}},
        {"unit", {{"enum", units}}}}},
      {"required", Json::array({"file"})},
      {"additionalProperties", false}};
  return {{"type", "array"},
          {"items", {{"anyOf", Json::array({file, one})}}},
          {"maxItems", kMostSurroundings}};
}

}  // namespace leafstack
