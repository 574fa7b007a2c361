// The shop's lists as report.json tells them: the same rows as the CSV tables.
#pragma once

#include <nlohmann/json.hpp>

#include "generator/shop/schedules.h"

namespace leafstack {

/// cut_list, bill, profiles and coating, one object a row, stock_plan, one a section, and
/// sheet_plan, one a thickness.
nlohmann::ordered_json listsJson(const Schedules& schedules);

/// One object a weld.
nlohmann::ordered_json weldsJson(const Schedules& schedules);

/// One object a row of alike screws or anchors.
nlohmann::ordered_json fastenersJson(const Schedules& schedules);

/// item, supplier and finish of a part, those that the shelf gives.
void addWords(nlohmann::ordered_json& json, const ItemWords& words);

}  // namespace leafstack
