// resolved.json: every value in force, and where it came from.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "generator/layout/layout.h"
#include "generator/loads/loads.h"
#include "params/read_gate.h"

namespace leafstack {

/// In the parameters' own order. A value left at "auto" shows what layout and loads gave it, with
/// origin "computed".
std::string resolvedJson(const ResolvedGate& gate, const Layout& layout, const LoadReport& loads,
                         const Provenance& provenance);

}  // namespace leafstack
