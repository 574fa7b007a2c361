// What a gate as built tells against it, or on condition of what it is ready.
#pragma once

#include <vector>

#include "generator/as_built/corrected.h"
#include "generator/verdict/warning.h"

namespace leafstack {

std::vector<Warning> builtWarnings(const Corrected& corrected);

/// "works", "works after 5 adjustments", ... with what pairs and rules it was about; one sentence.
std::string inWords(const Corrected& corrected);

}  // namespace leafstack
