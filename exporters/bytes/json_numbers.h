// Numbers of the JSON outputs, all rounded alike.
#pragma once

#include <array>
#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

#include "exporters/bytes/rounding.h"

namespace leafstack {

inline double num(double value) {
  return roundedToMillionth(value);
}

/// null where there is none.
inline nlohmann::ordered_json maybe(const std::optional<double>& value) {
  return value ? nlohmann::ordered_json(num(*value)) : nlohmann::ordered_json(nullptr);
}

inline nlohmann::ordered_json nums(const std::vector<double>& values) {
  nlohmann::ordered_json list = nlohmann::ordered_json::array();
  for (const double value : values) {
    list.push_back(num(value));
  }
  return list;
}

inline nlohmann::ordered_json point(const std::array<double, 3>& at) {
  return {num(at[0]), num(at[1]), num(at[2])};
}

}  // namespace leafstack
