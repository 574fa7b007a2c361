// Remarks as report.json and the pages have them.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "exporters/cad/bcf/remark.h"

namespace leafstack {

/// One row a remark, in their order; "parts" are names of instances, "parts_gone" how many more the
/// gate has no more. Lengths in mm, in the gate's frame.
nlohmann::ordered_json remarksJson(const std::vector<Remark>& remarks, const Model& model);

}  // namespace leafstack
