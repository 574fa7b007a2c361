// Why a gate does not fit its room, and what would.
#pragma once

#include <string>
#include <vector>

#include "generator/layout/layout.h"

namespace leafstack {

/// What to relax, and what would fit, for a layout with fits == false; one sentence per line: the
/// room lacking, what binds, single numbers that would do (each laid out anew and found to fit),
/// then other arrangements, the least changed first.
std::vector<std::string> explainMisfit(const GateSpec& spec, const Layout& layout);

}  // namespace leafstack
