#pragma once

// What an exported assembly calls a panel.

#include <string>

namespace leafstack {

/// "P1" for panel 1; "P0" holds what does not move.
inline std::string panelName(int panel) {
  return std::string("P").append(std::to_string(panel));
}

}  // namespace leafstack
