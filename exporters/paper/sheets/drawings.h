// All drawings of a gate.
#pragma once

#include <string>
#include <vector>

#include "exporters/paper/sheet/sheet.h"
#include "generator/shop/schedules.h"

namespace leafstack {

/// Every sheet with its title block, in the order of their numbers: general arrangement, overlaps,
/// guides, each panel's frame and bottom rail, ropes, travel, set-out, parts. `status` stands in
/// each title block: whether the gate is ready to be made; "": not judged.
std::vector<Sheet> gateSheets(const Model& model, const Schedules& schedules,
                              const std::string& status = "");

}  // namespace leafstack
