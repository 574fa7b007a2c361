// What the lists of things around the gate share: names, places and lengths, read and refused
// alike.
#pragma once

#include <array>
#include <nlohmann/json.hpp>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/reading/text.h"

namespace leafstack {

inline constexpr std::size_t kMostSiteNameCharacters = 60;
inline constexpr double kFarthestObstacleMm = 100'000;

class SiteItemReader {
 public:
  explicit SiteItemReader(Reporter& reporter) : reporter_(reporter) {}

 protected:
  /// Reports; always false.
  bool refuse(const std::string& pointer, const JsonNode& value, std::string message,
              std::string allowed, std::string suggestion = {});
  /// Reads a list of up to `most` things, each by `read`(node, pointer, thing); `what` they are.
  template <class Thing, class Read>
  bool listOf(const JsonNode& value, const std::string& pointer, const std::string& what,
              std::size_t most, std::vector<Thing>& things, const Read& read) {
    if (value.kind != JsonKind::kArray) {
      return refuse(pointer, value, describe(value) + " is no list of " + what, "a list");
    }
    const std::size_t count = value.children.size();
    if (count > most) {
      return refuse(pointer, value,
                    "a list of " + std::to_string(count) + " " + what + " is too long",
                    "up to " + std::to_string(most));
    }
    bool fine = true;
    for (std::size_t i = 0; i < count; ++i) {
      Thing one;
      if (read(value.children[i], childPointer(pointer, std::to_string(i)), one)) {
        things.push_back(std::move(one));
      } else {
        fine = false;
      }
    }
    return fine;
  }
  /// Refuses keys of an object that are none of `known`.
  bool keysKnown(const JsonNode& object, const std::string& pointer,
                 std::span<const std::string> known);
  /// Text of one line, 1 to kMostSiteNameCharacters of it.
  bool nameIn(const JsonNode& value, const std::string& pointer, std::string& name);
  /// Three lengths, numbers or texts with units; `what` they are ("corner").
  std::optional<std::array<double, 3>> point(const JsonNode& value, const std::string& pointer,
                                             const std::string& what);

 private:
  bool length(const JsonNode& value, const std::string& pointer, double& mm);

  Reporter& reporter_;
};

/// Three lengths as JSON Schema, each as `length` says.
nlohmann::ordered_json pointSchema(const nlohmann::ordered_json& length);

}  // namespace leafstack
