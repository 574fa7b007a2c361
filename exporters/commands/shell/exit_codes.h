// What the program ends with: part of what a version promises.
#pragma once

#include <span>

namespace leafstack {

enum ExitCode {
  kDone = 0,
  kInternalFault = 1,
  kWrongUsage = 2,
  kInvalidInput = 3,
  kDoesNotFit = 4,
  kClashFound = 5,
  kNotWritten = 6
};

struct ExitMeaning {
  int code;
  const char* meaning;
};

/// Every code that a shell can see, those of signals included, ascending.
std::span<const ExitMeaning> exitMeanings();

}  // namespace leafstack
