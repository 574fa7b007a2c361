// The loads as report.json tells them.
#pragma once

#include <nlohmann/json.hpp>

#include "generator/loads/loads.h"

namespace leafstack {

nlohmann::ordered_json ropesJson(const LoadReport& loads);
nlohmann::ordered_json driveJson(const LoadReport& loads, const Layout& layout);
nlohmann::ordered_json loadsJson(const LoadReport& loads);

}  // namespace leafstack
