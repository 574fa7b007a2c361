// report.json's `as_built`: what was measured, what is to be set, and whether it then works.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "generator/as_built/corrected.h"

namespace leafstack {

nlohmann::ordered_json builtJson(const Corrected& corrected);

/// The same in lines for `check`: verdict, then every adjustment.
std::string builtText(const Corrected& corrected);

}  // namespace leafstack
