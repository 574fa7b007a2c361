// Values as gate files write them (declared in values.h).
#include <algorithm>
#include <cmath>
#include <functional>

#include "params/spec/section.h"
#include "params/table/hardware_rows.h"
#include "params/table/values.h"
#include "params/table/as_built/panels_built.h"
#include "params/table/obstacles/obstacles.h"

namespace leafstack {
namespace {

// Whole numbers up to here are exact as double.
constexpr double kLargestWhole = 9e15;

nlohmann::ordered_json choiceName(const Parameter& parameter, const Slot& slot) {
  return std::visit(
      [&](auto target) -> nlohmann::ordered_json {
        if constexpr (std::is_enum_v<std::remove_pointer_t<decltype(target)>>) {
          return parameter.choices[static_cast<std::size_t>(*target)];
        } else {
          return nullptr;
        }
      },
      slot);
}

}  // namespace

nlohmann::ordered_json jsonNumber(double value) {
  if (value == std::floor(value) && std::abs(value) < kLargestWhole) {
    return static_cast<long long>(value);
  }
  return value;
}

nlohmann::ordered_json valueOf(const Parameter& parameter, GateSpec& spec) {
  switch (parameter.kind) {
    case Kind::kGroup:
    case Kind::kVersion:
      return nlohmann::ordered_json::parse(parameter.default_json);
    case Kind::kNumber:
      return jsonNumber(valueAt<double>(parameter, spec));
    case Kind::kAutoNumber: {
      const auto& value = valueAt<std::optional<double>>(parameter, spec);
      return value ? jsonNumber(*value) : nlohmann::ordered_json(kAuto);
    }
    case Kind::kAutoInteger: {
      const auto& value = valueAt<std::optional<int>>(parameter, spec);
      return value ? nlohmann::ordered_json(*value) : nlohmann::ordered_json(kAuto);
    }
    case Kind::kFlag:
      return valueAt<bool>(parameter, spec);
    case Kind::kText:
    case Kind::kShelf:
      return valueAt<std::string>(parameter, spec);
    case Kind::kChoice:
      return choiceName(parameter, parameter.slot(spec));
    case Kind::kSection:
    case Kind::kAutoSection: {
      const auto& section = valueAt<HollowSection>(parameter, spec);
      return section.is_auto ? kAuto : section.designation;
    }
    case Kind::kChosenNumber: {
      const ChosenNumber number = std::get<ChosenNumber>(parameter.slot(spec));
      return *number.is_auto ? nlohmann::ordered_json(kAuto) : jsonNumber(*number.value);
    }
    case Kind::kMotor:
      return valueAt<MotorSpec>(parameter, spec).name;
    case Kind::kMotorSet:
      return nullptr;
    case Kind::kAutoList: {
      const auto& value = valueAt<std::optional<std::vector<double>>>(parameter, spec);
      if (!value) {
        return kAuto;
      }
      auto list = nlohmann::ordered_json::array();
      for (const double item : *value) {
        list.push_back(jsonNumber(item));
      }
      return list;
    }
    case Kind::kObstacles:
      return writtenObstacles(valueAt<std::vector<Obstacle>>(parameter, spec));
    case Kind::kSurroundings:
      return writtenSurroundings(valueAt<std::vector<Surrounding>>(parameter, spec));
    case Kind::kPanelsBuilt:
      return writtenPanelsBuilt(valueAt<std::vector<BuiltPanel>>(parameter, spec));
    case Kind::kSurvey: {
      auto lists = nlohmann::ordered_json::array();
      for (const SurveyLine& line : valueAt<std::vector<SurveyLine>>(parameter, spec)) {
        auto list = nlohmann::ordered_json::array();
        for (const auto& [x, z] : line) {
          list.push_back({jsonNumber(x), jsonNumber(z)});
        }
        lists.push_back(std::move(list));
      }
      return lists.size() == 1 ? lists.front() : lists;
    }
  }
  return nullptr;
}

std::string shelfWord(GateSpec spec, ShelfGroups groups) {
  constexpr std::string_view kShelf = "/hardware/";
  std::string figures;
  for (const Parameter& row : hardwareRows()) {
    const std::string_view pointer = row.pointer;
    const std::string_view key = pointer.substr(std::min(kShelf.size(), pointer.size()));
    const std::string_view group = key.substr(0, key.find('/'));
    const bool is_site =
        std::find(kSiteGroups.begin(), kSiteGroups.end(), group) != kSiteGroups.end();
    const std::string_view unit = row.unit;
    const bool is_size = row.kind != Kind::kGroup && row.kind != Kind::kShelf &&
                         row.kind != Kind::kText && unit != "N" && unit != "kg";
    if (is_size && is_site == (groups == ShelfGroups::kSite)) {
      figures += valueOf(row, spec).dump() + ' ';
    }
  }
  const std::hash<std::string> hash;
  const std::size_t first = hash(figures);
  return std::to_string(first) + '-' + std::to_string(hash(figures + 'x'));
}

}  // namespace leafstack
