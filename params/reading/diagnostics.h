// Problems found in a gate file: collected, never thrown one at a time.
#pragma once

#include <string>
#include <vector>

namespace leafstack {

/// One problem. `line` and `column` count from 1 (column in bytes); both are 0 where the value
/// came from --set or is missing altogether. `allowed` and `suggestion` may be empty.
struct Diagnostic {
  std::string source;  ///< file name, "<stdin>" or "--set"
  int line = 0;
  int column = 0;
  std::string pointer;  ///< JSON pointer (RFC 6901) of the offending value
  std::string message;  ///< what is wrong, with the offending value
  std::string allowed;  ///< e.g. "1000 to 12000 mm"
  std::string suggestion;
};

/// "gate.json:3:17: /site/opening_mm: 12 is too small (allowed: 1000 to 20000 mm); suggestion".
std::string toString(const Diagnostic& problem);

}  // namespace leafstack
