#include "params/table/obstacles/obstacles.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "params/reading/text.h"
#include "params/table/obstacles/site_items.h"

namespace leafstack {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kItem = "an object { \"name\", \"box_mm\": [[x, y, z], [x, y, z]] }";

class ObstacleReader : private SiteItemReader {
 public:
  using SiteItemReader::SiteItemReader;

  bool list(const JsonNode& value, const std::string& pointer, std::vector<Obstacle>& obstacles) {
    return listOf(value, pointer, "obstacles", kMostObstacles, obstacles,
                  [this](const JsonNode& one, const std::string& at, Obstacle& obstacle) {
                    return item(one, at, obstacle);
                  });
  }

 private:
  bool item(const JsonNode& value, const std::string& pointer, Obstacle& obstacle) {
    if (value.kind != JsonKind::kObject) {
      return refuse(pointer, value, describe(value) + " is no obstacle", kItem);
    }
    static const std::array<std::string, 2> kKeys = {"name", "box_mm"};
    bool fine = keysKnown(value, pointer, kKeys);
    if (const JsonNode* const name = value.member("name")) {
      fine = nameIn(*name, childPointer(pointer, "name"), obstacle.name) && fine;
    } else {
      fine = refuse(pointer, value, "an obstacle without a name", kItem);
    }
    const JsonNode* const corners = value.member("box_mm");
    if (corners == nullptr) {
      return refuse(pointer, value, "an obstacle without box_mm", kItem);
    }
    return box(*corners, childPointer(pointer, "box_mm"), obstacle) && fine;
  }

  bool box(const JsonNode& value, const std::string& pointer, Obstacle& obstacle) {
    if (value.kind != JsonKind::kArray || value.children.size() != 2) {
      return refuse(pointer, value, describe(value) + " is no box",
                    "two corners, each three lengths [x, y, z]");
    }
    const auto one = point(value.children[0], pointer + "/0", "corner");
    const auto other = point(value.children[1], pointer + "/1", "corner");
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
        return refuse(pointer, value, "a box without extent along " + std::string(1, "XYZ"[axis]),
                      "two opposite corners");
      }
    }
    if (longest < kLeastMeantMm && !has_units) {
      return refuse(pointer, value,
                    "a box within " + formatNumber(longest) +
                        " mm of the origin is hardly meant: nothing of a gate is so small",
                    "lengths in mm",
                    "if it was in m, write its lengths as \"" + formatNumber(longest) +
                        " m\"; if in mm, as \"" + formatNumber(longest) + " mm\"");
    }
    return true;
  }

  static constexpr double kLeastMeantMm = 50;
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
    list.push_back(
        {{"name", one.name}, {"box_mm", Json::array({Json(one.low_mm), Json(one.high_mm)})}});
  }
  return list;
}

const char* obstaclesInWords() {
  return "a list of up to 100 objects { \"name\", \"box_mm\": [[x, y, z], [x, y, z]] }";
}

Json obstaclesSchema(const Json& length) {
  const Json box = {
      {"type", "array"}, {"items", pointSchema(length)}, {"minItems", 2}, {"maxItems", 2}};
  const Json one = {
      {"type", "object"},
      {"properties",
       {{"name", {{"type", "string"}, {"minLength", 1}, {"maxLength", kMostSiteNameCharacters}}},
        {"box_mm", box}}},
      {"required", Json::array({"name", "box_mm"})},
      {"additionalProperties", false}};
  return {{"type", "array"}, {"items", one}, {"maxItems", kMostObstacles}};
}

}  // namespace leafstack
