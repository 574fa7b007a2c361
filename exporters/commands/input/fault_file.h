// After an internal fault: the gate that caused it, in a file of its own, ready to be checked
// again.
#pragma once

#include <string>
#include <vector>

#include "params/read_gate.h"

namespace leafstack {

/// `text`, a valid gate file, with the overrides written into it. They were validated with it.
std::string withOverrides(const std::string& text, const std::vector<Override>& overrides);

/// A gate, and the command that failed with it.
struct FaultyRun {
  std::string text;  ///< valid; "" where none was read
  std::vector<Override> overrides;
  std::string command, options;  ///< "build", and what it needs besides the gate
};

/// What to tell the user about `what` that went wrong. Keeps the gate in the folder for temporary
/// files, or else in this one, under a name that depends on the gate alone, and names the command
/// that shows the fault again.
std::vector<std::string> faultLines(const std::string& what, const FaultyRun& run) noexcept;

}  // namespace leafstack
