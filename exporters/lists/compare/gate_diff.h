// What differs between two gates: inputs, figures, parts by mark, findings.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "params/read_gate.h"

namespace leafstack {

/// One of the two: what was put in, and its report.json (reportJson()), parsed.
struct DiffSide {
  std::string name;
  std::vector<ResolvedValue> values;
  nlohmann::ordered_json report;
};

/// { a, b, inputs: [ { pointer, a, b } ], figures: [ { path, a, b } ], parts: { same, changed: [ {
/// mark, name, changes } ], new, gone }, findings: { still_there, new, gone }, verdicts }. A mark
/// is changed where its name, material, section, length, mass, volume or number differs by more
/// than a thousandth. Where one of the two does not fit it was not built: then parts and findings
/// are null, and figures are those that both have.
nlohmann::ordered_json gateDiff(const DiffSide& a, const DiffSide& b);

/// The same for people, ends with newline; of long lists the first ones.
std::string gateDiffText(const nlohmann::ordered_json& diff);

/// The two verdicts and the findings that differ.
std::string gateDiffVerdicts(const nlohmann::ordered_json& diff);

}  // namespace leafstack
