// Where a set of outputs comes from: what every file's header repeats.
#pragma once

#include <string>

namespace leafstack {

struct Provenance {
  std::string timestamp;     ///< UTC, "2024-05-01T12:00:00Z"; see timestamp.h
  std::string input_sha256;  ///< of the gate text and its overrides, lower-case hex
};

/// "leafstack 1.0.0".
inline std::string programName() {
  return std::string("leafstack ") + LEAFSTACK_VERSION;
}

}  // namespace leafstack
