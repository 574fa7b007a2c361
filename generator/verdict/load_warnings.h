// What the figures mean for the hardware: which row is violated, and what cures it.
#pragma once

#include <vector>

#include "generator/loads/load_report.h"
#include "generator/model/model.h"
#include "generator/verdict/warning.h"

namespace leafstack {

std::vector<Warning> loadWarnings(const Model& model, const LoadReport& report);

}  // namespace leafstack
