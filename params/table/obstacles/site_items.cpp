#include "params/table/obstacles/site_items.h"

#include <cmath>
#include <vector>

#include "params/reading/characters.h"
#include "params/reading/text.h"
#include "params/reading/units.h"

namespace leafstack {

bool SiteItemReader::refuse(const std::string& pointer, const JsonNode& value, std::string message,
                            std::string allowed, std::string suggestion) {
  reporter_.add(pointer, &value, {std::move(message), std::move(allowed), std::move(suggestion)});
  return false;
}

bool SiteItemReader::keysKnown(const JsonNode& object, const std::string& pointer,
                               std::span<const std::string> known) {
  bool fine = true;
  const std::vector<std::string> names(known.begin(), known.end());
  for (const JsonNode& member : object.children) {
    if (std::find(names.begin(), names.end(), member.key) == names.end()) {
      const std::string nearest = nearestName(member.key, names);
      reporter_.addKey(childPointer(pointer, member.key), member,
                       {"unknown key", joined(names, "and"),
                        nearest.empty() ? "" : "did you mean " + inQuotes(nearest) + "?"});
      fine = false;
    }
  }
  return fine;
}

bool SiteItemReader::nameIn(const JsonNode& value, const std::string& pointer, std::string& name) {
  const std::string allowed =
      "text of 1 to " + std::to_string(kMostSiteNameCharacters) + " characters";
  if (value.kind != JsonKind::kText || value.text.empty()) {
    return refuse(pointer, value, describe(value) + " is no name", allowed);
  }
  if (const auto code = firstNoText(value.text)) {
    return refuse(pointer, value, describe(value) + " has " + nameOfNoText(*code), allowed);
  }
  if (codePoints(value.text, U'?').size() > kMostSiteNameCharacters) {
    return refuse(pointer, value, describe(value) + " is too long", allowed);
  }
  name = value.text;
  return true;
}

std::optional<std::array<double, 3>> SiteItemReader::point(const JsonNode& value,
                                                           const std::string& pointer,
                                                           const std::string& what) {
  if (value.kind != JsonKind::kArray || value.children.size() != 3) {
    refuse(pointer, value, describe(value) + " is no " + what, "three lengths [x, y, z]");
    return std::nullopt;
  }
  std::array<double, 3> at{};
  bool fine = true;
  for (int axis = 0; axis < 3; ++axis) {
    fine = length(value.children[axis], pointer + "/" + std::to_string(axis), at[axis]) && fine;
  }
  return fine ? std::optional(at) : std::nullopt;
}

bool SiteItemReader::length(const JsonNode& value, const std::string& pointer, double& mm) {
  const std::string allowed =
      formatNumber(-kFarthestObstacleMm) + " to " + formatNumber(kFarthestObstacleMm) + " mm";
  const auto typed = value.kind == JsonKind::kText ? typedIn("mm", value.text) : std::nullopt;
  if (typed && !typed->value) {
    return refuse(pointer, value, describe(value) + ' ' + typed->fault, allowed, typed->suggestion);
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

nlohmann::ordered_json pointSchema(const nlohmann::ordered_json& length) {
  return {{"type", "array"}, {"items", length}, {"minItems", 3}, {"maxItems", 3}};
}

}  // namespace leafstack
