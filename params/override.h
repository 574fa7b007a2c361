// A value that is put in place of the gate file's.
#pragma once

#include <string>

namespace leafstack {

/// One `--set /json/pointer=value`; `value` is read as JSON, else taken as a string.
struct Override {
  std::string pointer;
  std::string value;
};

}  // namespace leafstack
