// What is wrong with posts' base plates, anchors and blocks; plates that bend: load_warnings.
#pragma once

#include <vector>

#include "generator/loads/frame/structure_report.h"
#include "generator/model/model.h"
#include "generator/verdict/warning.h"

namespace leafstack {

std::vector<Warning> postWarnings(const Model& model, const StructureReport& structure);

}  // namespace leafstack
