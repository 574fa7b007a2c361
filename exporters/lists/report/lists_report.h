// The shop's lists as report.json tells them: the same rows as the CSV tables.
#pragma once

#include <nlohmann/json.hpp>

#include "generator/shop/schedules.h"

namespace leafstack {

/// cut_list, bill, profiles and coating, one object a row, and stock_plan, one a section.
nlohmann::ordered_json listsJson(const Schedules& schedules);

}  // namespace leafstack
