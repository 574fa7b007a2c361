// The one table of the gate file: every key with its kind, default, unit, limits, meaning and
// source. Reading, defaults, resolved values, the JSON Schema, the starter gate and the parameter
// reference are all driven by it; there is no other list of keys.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "params/table/parameter.h"

namespace leafstack {

/// Every row, parents before children.
std::span<const Parameter> parameterTable();

/// The row of a pointer, or null.
const Parameter* findParameter(std::string_view pointer);

/// "/gate/infill/gap_mm" -> "/gate/infill" and "gap_mm".
std::string_view parentOf(const Parameter& parameter);
std::string_view keyOf(const Parameter& parameter);

/// The rows directly below a group's pointer ("" for the whole file), in table order.
std::vector<const Parameter*> childrenOf(std::string_view group);

/// What a choice may be; empty for other kinds.
std::vector<std::string> choiceNames(const Parameter& parameter);

/// "1000 to 20000 mm", "\"post\", \"overhead\" or \"reach-over\"" …: what the parameter accepts.
std::string allowedText(const Parameter& parameter);
/// The same for one number in a list.
std::string allowedItem(const Parameter& parameter);

/// What one may look for on the shelf and finds in the gate file: its pointer there for one below
/// /hardware; "" for any other.
std::string_view gatePointerOf(std::string_view pointer);

}  // namespace leafstack
