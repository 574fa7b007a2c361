// The shelf's rows of the gate file's table.
#pragma once

#include <span>
#include <string_view>

#include "params/table/parameter.h"

namespace leafstack {

/// The rows of /hardware, parents before children.
std::span<const Parameter> hardwareRows();

/// The rows of /shop and /drawings.
std::span<const Parameter> workshopRows();

/// The rows of /as_built.
std::span<const Parameter> asBuiltRows();

/// Below the same groups: names, suppliers, finishes, masses and ratings.
std::span<const Parameter> itemRows();

/// What a group of the shelf says of its item; null for a group that has none.
const BoughtItem* boughtItem(const HardwareSpec& shelf, std::string_view group);

}  // namespace leafstack
