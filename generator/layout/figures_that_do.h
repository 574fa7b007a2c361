// Figures that cure what keeps a gate from being laid out.
#pragma once

#include "generator/layout/layout.h"

namespace leafstack {

/// Looks for figures that cure what is wrong with rack, pinion or motor, and puts those that do
/// behind the problem's text: each was laid out, and leaves no problem that was not there before.
/// Some hundred layouts; nothing on surveyed ground.
void tellFigures(const GateSpec& spec, LayoutResult& result);

}  // namespace leafstack
