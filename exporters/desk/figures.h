// The figures that people ask for first, each with where it comes from.
#pragma once

#include <nlohmann/json.hpp>

#include "exporters/commands/input/prepared_gate.h"

namespace leafstack::desk {

/// JSON, an array of {id, what, value, unit, places, note, why}: `why` is lines of {what, formula,
/// value, source}, those of the calculation sheet where it has them. `built` null: of the layout
/// alone.
nlohmann::ordered_json figuresJson(const Prepared& prepared, const Built* built);

/// Of keys that the program works out, by pointer: the lines of the sheet that say how. Others
/// follow the rule in their meaning (table.h).
nlohmann::ordered_json reasonsJson(const Built* built);

}  // namespace leafstack::desk
