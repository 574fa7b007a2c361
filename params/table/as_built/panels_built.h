// Panels as they were measured, as the gate file has them: one object a panel.
#pragma once

#include <nlohmann/json.hpp>
#include <span>
#include <string>
#include <vector>

#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"
#include "params/spec/as_built_spec.h"

namespace leafstack {

/// A key of such an object: one row a PanelMeasure, in its order.
struct PanelMeasureRow {
  const char* key;
  double least_mm, most_mm;
  const char* meaning;  ///< one line
};
std::span<const PanelMeasureRow> panelMeasures();
const PanelMeasureRow& rowOf(PanelMeasure what);

/// Reads a list of { "number", measures, "uncertainty_mm" }; lengths may be texts with units. What
/// is wrong is reported, all of it, and false returned.
bool readPanelsBuilt(const JsonNode& value, const std::string& pointer, Reporter& reporter,
                     std::vector<BuiltPanel>& panels);

nlohmann::ordered_json writtenPanelsBuilt(const std::vector<BuiltPanel>& panels);

/// What such a list is, for messages and help, and as JSON Schema.
const char* panelsBuiltInWords();
nlohmann::ordered_json panelsBuiltSchema(const nlohmann::ordered_json& length_text);

}  // namespace leafstack
