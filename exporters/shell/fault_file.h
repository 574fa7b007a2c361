// After an internal fault: the gate that caused it, in a file of its own, ready to be checked
// again.
#pragma once

#include <string>
#include <vector>

#include "params/read_gate.h"

namespace leafstack {

/// `text`, a valid gate file, with the overrides written into it. They were validated with it.
std::string withOverrides(const std::string& text, const std::vector<Override>& overrides);

/// What to tell the user about `what` that went wrong with a gate. Keeps the gate in the folder for
/// temporary files, under a name that depends on the gate alone; "" for `text` where none was read.
std::vector<std::string> faultLines(const std::string& what, const std::string& text,
                                    const std::vector<Override>& overrides) noexcept;

}  // namespace leafstack
