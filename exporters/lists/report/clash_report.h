// The clash check as report.json and tables/clashes.csv tell it.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "generator/clash/report/clash.h"

namespace leafstack {

nlohmann::ordered_json clashJson(const ClashReport& clash);

/// One row a finding, its stretches of travel in one field; the header alone where there is none.
std::string clashesCsv(const ClashReport& clash);

}  // namespace leafstack
