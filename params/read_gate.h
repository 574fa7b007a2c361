// Gate file text -> resolved specification, or every problem at once.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "params/override.h"
#include "params/reading/diagnostics.h"
#include "params/shelf/hardware_set.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// Where a value came from. kComputed is added by the generator for "auto" values.
enum class Origin { kGiven, kOverride, kDefault, kSet, kComputed };
std::string_view toString(Origin origin);

/// One row of resolved.json: the pointer, the value now in force, and where it came from.
struct ResolvedValue {
  std::string pointer;
  nlohmann::ordered_json value;
  Origin origin = Origin::kDefault;
  std::string set;         ///< of a kSet: the hardware set's name or file
  std::string why;         ///< of a kComputed that was chosen by trying
  std::string typed = {};  ///< as written, where it had a unit of its own
};

struct ResolvedGate {
  GateSpec spec;
  std::vector<ResolvedValue> values;  ///< in table order, every parameter once
};

struct ReadResult {
  std::optional<ResolvedGate> gate;  ///< empty exactly when `problems` is not
  std::vector<Diagnostic> problems;
};

/// Largest accepted gate file; a real one is a few kB.
inline constexpr std::size_t kMaxGateFileBytes = 1'000'000;

/// Reads, overrides and validates. Never throws on bad input: every problem is a Diagnostic.
/// `source_name` is what diagnostics call the text. Sets of hardware in files are read through
/// `hardware`.
ReadResult readGate(std::string_view text, std::string_view source_name,
                    std::span<const Override> overrides = {}, const HardwareInput& hardware = {});

/// JSON Schema 2020-12 of the gate file, from the same table; pretty-printed, ends with newline.
std::string gateSchema();

/// A gate to start from: about ten keys with their defaults, each after a comment; ends with
/// newline.
std::string starterGate();
/// Every key with its default, without comments; ends with newline.
std::string everyKeyGate();

/// Markdown table of every parameter (pointer, meaning, unit, default, range, source).
std::string parameterReference();

}  // namespace leafstack
