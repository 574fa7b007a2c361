// The command compare.
#pragma once

#include "exporters/shell/command_input.h"

namespace leafstack {

/// Compares arrangements for one site, or over sweeps of it. Throws Stop.
ExitCode runCompare(const Options& options);

}  // namespace leafstack
