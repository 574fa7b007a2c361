// The gates that are timed.
#pragma once

#include <stdexcept>

#include "generator/layout/layout.h"
#include "generator/model/model.h"
#include "params/read_gate.h"

namespace leafstack::bench {

inline constexpr const char* kOnePanel = R"({"site": {"opening_mm": 4000}, "gate": {"panels": 1}})";
inline constexpr const char* kBoards = R"({"site": {"opening_mm": 6000}, "gate": {"panels": 3,
    "cladding": {"kind": "boards"}}})";
inline constexpr const char* kThreePanels =
    R"({"site": {"opening_mm": 6000}, "gate": {"panels": 3}})";
/// Ten times the pickets of kThreePanels: closer, thinner, and over the widest opening.
inline constexpr const char* kManyPickets = R"({"site": {"opening_mm": 20000}, "gate": {"panels": 3,
    "infill": {"section": "SHS 15x15x1", "gap_mm": 10}}})";

inline GateSpec specOf(const char* text) {
  const ReadResult read = readGate(text, "bench");
  if (!read.gate) {
    throw std::invalid_argument(toString(read.problems.front()));
  }
  return read.gate->spec;
}

inline Model modelOf(const char* text) {
  const GateSpec spec = specOf(text);
  return buildModel(spec, layOut(spec).layout);
}

}  // namespace leafstack::bench
