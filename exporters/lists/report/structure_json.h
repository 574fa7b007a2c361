// The frame analysis as report.json tells it.
#pragma once

#include <nlohmann/json.hpp>

#include "generator/loads/frame/structure_report.h"

namespace leafstack {

nlohmann::ordered_json structureJson(const StructureReport& structure);

}  // namespace leafstack
