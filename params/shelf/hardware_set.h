// Hardware sets: what one shelf's bought and standard items measure, in a text of its own.
//
// A set is a JSON object with "leafstack_hardware": 1, a name, and the groups below /hardware. It
// may build on another with "from" and give only what differs. The set "medium" is under them
// all: its sizes are the defaults of the gate file's table, its motors stand in its text.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "params/reading/json_tree.h"
#include "params/reading/reporter.h"

namespace leafstack {

/// Largest accepted hardware file; a real one is a few kB.
inline constexpr std::size_t kMaxHardwareFileBytes = 200'000;
/// Sets that build on each other, at most.
inline constexpr std::size_t kMostSetsInARow = 8;

/// A file's text, or why there is none.
struct FileText {
  std::string text, fault;
};

class SurroundingShapes;  // generator/surroundings

/// What stands in a file of surroundings, or why there is none.
struct SurroundingFile {
  std::shared_ptr<const SurroundingShapes> shapes;
  std::string fault, suggestion;
};

/// Where sets come from besides this program.
struct HardwareInput {
  /// Of the command line: takes the place of the gate file's set. "" leaves that alone.
  std::string chosen;
  /// Folder that files named in the gate file are relative to. Those of `chosen` are relative to
  /// the working folder, those of another set to that set.
  /// None where the gate came from standard input: that has no files beside it.
  std::optional<std::string> gate_folder;
  /// Up to kMaxHardwareFileBytes + 1 bytes of a file; empty where none can be had.
  std::function<FileText(const std::string& path)> read;
  /// A file of surroundings, drawn in `unit` ("" where the file says so itself); empty where none
  /// can be had.
  std::function<SurroundingFile(const std::string& path, const std::string& unit)> read_surroundings;
  /// Refuses a shelf whose sizes do not fit each other. Off for who tells that rule by rule.
  bool refuses_misfits = true;
};

/// A set of this program's own.
struct BuiltInSet {
  std::string_view name, text;
};
std::span<const BuiltInSet> builtInSets();

/// One text of sizes: an object of groups, each value marked with its source.
struct SetLayer {
  std::string name;  ///< of the set, or its file as it was named
  JsonNode groups;
};

/// The set's texts, what it builds on first. What is wrong with them as a whole is reported, at the
/// node that names the set (null: the command line does); their values are not looked at.
std::vector<SetLayer> loadSet(const std::string& name, const JsonNode* named_by,
                              const HardwareInput& input, Reporter& reporter);

/// What all sets build on, where a gate names none.
std::vector<SetLayer> groundSet(Reporter& reporter);

}  // namespace leafstack
