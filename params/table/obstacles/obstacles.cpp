#include "params/table/obstacles/obstacles.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "params/reading/characters.h"
#include "params/reading/text.h"
#include "params/reading/units.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostNameCharacters = 60;
constexpr const char* kItem = "an object { \"name\", \"box_mm\": [[x, y, z], [x, y, z]] }";
constexpr const char* kCorner = "three lengths [x, y, z]";

class ObstacleReader {
 public:
  explicit ObstacleReader(Reporter& reporter) : reporter_(reporter) {}

  bool list(const JsonNode& value, const std::string& pointer, std::vector<Obstacle>& obstacles) {
    if (value.kind != JsonKind::kArray) {
      return refuse(pointer, value, describe(value) + " is no list of obstacles",
                    obstaclesInWords());
    }
    const std::size_t count = value.children.size();
    if (count > kMostObstacles) {
      return refuse(pointer, value,
                    "a list of " + std::to_string(count) + " obstacles is too long",
                    "up to " + std::to_string(kMostObstacles));
    }
    bool fine = true;
    for (std::size_t i = 0; i < count; ++i) {
      Obstacle one;
      if (item(value.children[i], childPointer(pointer, std::to_string(i)), one)) {
        obstacles.push_back(std::move(one));
      } else {
        fine = false;
      }
    }
    return fine;
  }

 private:
  bool refuse(const std::string& pointer, const JsonNode& value, std::string message,
              std::string allowed, std::string suggestion = {}) {
    reporter_.add(pointer, &value, {std::move(message), std::move(allowed), std::move(suggestion)});
    return false;
  }

  bool item(const JsonNode& value, const std::string& pointer, Obstacle& obstacle) {
    if (value.kind != JsonKind::kObject) {
      return refuse(pointer, value, describe(value) + " is no obstacle", kItem);
    }
    bool fine = true;
    for (const JsonNode& member : value.children) {
      if (member.key != "name" && member.key != "box_mm") {
        const std::string nearest = nearestName(member.key, std::array<std::string, 2>{"name", "box_mm"});
        reporter_.addKey(childPointer(pointer, member.key), member,
                         {"unknown key", "name and box_mm",
                          nearest.empty() ? "" : "did you mean " + inQuotes(nearest) + "?"});
        fine = false;
      }
    }
    fine = name(value, pointer, obstacle.name) && fine;
    const JsonNode* const corners = value.member("box_mm");
    if (corners == nullptr) {
      return refuse(pointer, value, "an obstacle without box_mm", kItem);
    }
    return box(*corners, childPointer(pointer, "box_mm"), obstacle) && fine;
  }

  bool name(const JsonNode& item, const std::string& pointer, std::string& name) {
    const JsonNode* const value = item.member("name");
    if (value == nullptr) {
      return refuse(pointer, item, "an obstacle without a name", kItem);
    }
    const std::string at = childPointer(pointer, "name");
    const std::string allowed = "text of 1 to " + std::to_string(kMostNameCharacters) + " characters";
    if (value->kind != JsonKind::kText || value->text.empty()) {
      return refuse(at, *value, describe(*value) + " is no name", allowed);
    }
    if (const auto code = firstNoText(value->text)) {
      return refuse(at, *value, describe(*value) + " has " + nameOfNoText(*code), allowed);
    }
    if (codePoints(value->text, U'?').size() > kMostNameCharacters) {
      return refuse(at, *value, describe(*value) + " is too long", allowed);
    }
    name = value->text;
    return true;
  }

  bool box(const JsonNode& value, const std::string& pointer, Obstacle& obstacle) {
    if (value.kind != JsonKind::kArray || value.children.size() != 2) {
      return refuse(pointer, value, describe(value) + " is no box", "two corners, each " +
                                                                        std::string(kCorner));
    }
    const auto one = corner(value.children[0], pointer + "/0");
    const auto other = corner(value.children[1], pointer + "/1");
    if (!one || !other) {
      return false;
    }
    double longest = 0;
    bool has_units = false;
    for (const JsonNode& child : value.children) {
      for (const JsonNode& length : child.children) {
        has_units |= length.kind == JsonKind::kText;
      }
    }
    for (int axis = 0; axis < 3; ++axis) {
      obstacle.low_mm[axis] = std::min((*one)[axis], (*other)[axis]);
      obstacle.high_mm[axis] = std::max((*one)[axis], (*other)[axis]);
      const double size = obstacle.high_mm[axis] - obstacle.low_mm[axis];
      longest = std::max({longest, std::abs((*one)[axis]), std::abs((*other)[axis])});
      if (!(size > 0)) {
        return refuse(pointer, value,
                      "a box without extent along " + std::string(1, "XYZ"[axis]),
                      "two opposite corners");
      }
    }
    if (longest < kLeastMeantMm && !has_units) {
      return refuse(pointer, value,
                    "a box within " + formatNumber(longest) +
                        " mm of the origin is hardly meant: nothing of a gate is so small",
                    "lengths in mm", "if it was in m, write its lengths as \"" +
                                         formatNumber(longest) + " m\"; if in mm, as \"" +
                                         formatNumber(longest) + " mm\"");
    }
    return true;
  }

  std::optional<std::array<double, 3>> corner(const JsonNode& value, const std::string& pointer) {
    if (value.kind != JsonKind::kArray || value.children.size() != 3) {
      refuse(pointer, value, describe(value) + " is no corner", kCorner);
      return std::nullopt;
    }
    std::array<double, 3> at{};
    bool fine = true;
    for (int axis = 0; axis < 3; ++axis) {
      const JsonNode& child = value.children[axis];
      fine = length(child, pointer + "/" + std::to_string(axis), at[axis]) && fine;
    }
    return fine ? std::optional(at) : std::nullopt;
  }

  bool length(const JsonNode& value, const std::string& pointer, double& mm) {
    const std::string allowed = formatNumber(-kFarthestObstacleMm) + " to " +
                                formatNumber(kFarthestObstacleMm) + " mm";
    const auto typed = value.kind == JsonKind::kText ? typedIn("mm", value.text) : std::nullopt;
    if (typed && !typed->value) {
      return refuse(pointer, value, describe(value) + ' ' + typed->fault, allowed,
                    typed->suggestion);
    }
    if (value.kind != JsonKind::kNumber && !typed) {
      return refuse(pointer, value, describe(value) + " is not a length", allowed);
    }
    mm = typed ? *typed->value : value.number;
    if (!(std::abs(mm) <= kFarthestObstacleMm)) {
      return refuse(pointer, value, describe(value) + " is too far off", allowed);
    }
    return true;
  }

  static constexpr double kLeastMeantMm = 50;

  Reporter& reporter_;
};

}  // namespace

bool readObstacles(const JsonNode& value, const std::string& pointer, Reporter& reporter,
                   std::vector<Obstacle>& obstacles) {
  obstacles.clear();
  const bool fine = ObstacleReader(reporter).list(value, pointer, obstacles);
  if (!fine) {
    obstacles.clear();
  }
  return fine;
}

Json writtenObstacles(const std::vector<Obstacle>& obstacles) {
  Json list = Json::array();
  for (const Obstacle& one : obstacles) {
    list.push_back({{"name", one.name},
                    {"box_mm", Json::array({Json(one.low_mm), Json(one.high_mm)})}});
  }
  return list;
}

const char* obstaclesInWords() {
  return "a list of up to 100 objects { \"name\", \"box_mm\": [[x, y, z], [x, y, z]] }";
}

Json obstaclesSchema(const Json& length) {
  const Json corner = {{"type", "array"}, {"items", length}, {"minItems", 3}, {"maxItems", 3}};
  const Json box = {{"type", "array"}, {"items", corner}, {"minItems", 2}, {"maxItems", 2}};
  const Json one = {{"type", "object"},
                    {"properties",
                     {{"name", {{"type", "string"}, {"minLength", 1}, {"maxLength", kMostNameCharacters}}},
                      {"box_mm", box}}},
                    {"required", Json::array({"name", "box_mm"})},
                    {"additionalProperties", false}};
  return {{"type", "array"}, {"items", one}, {"maxItems", kMostObstacles}};
}

}  // namespace leafstack
