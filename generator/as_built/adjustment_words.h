// BuiltSettings as an installer is told them: what, where, which way, how much.
#pragma once

#include <string>

#include "generator/as_built/corrected.h"
#include "generator/as_built/rules.h"

namespace leafstack {

/// Fills in adjustments, ropes and shims from what is set.
void tellSettings(const BuiltGate& gate, Corrected& corrected);

/// A rule that is not kept, with its figures.
std::string unmetInWords(const BuiltRule& rule, const BuiltSettings& set);

}  // namespace leafstack
