// One line of the calculation sheet.
#pragma once

#include <string>

namespace leafstack {

struct SheetLine {
  std::string what;
  std::string formula;  ///< with the numbers put in; "" for an input
  std::string value;    ///< with its unit
  std::string source;   ///< row ids, or "" where the line is plain arithmetic
};

}  // namespace leafstack
