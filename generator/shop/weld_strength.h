// Welds of the frame against its forces.
#pragma once

#include <vector>

#include "generator/loads/frame/structure_report.h"
#include "generator/shop/welds/weld_rows.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// Tells of every weld at which a tube of a panel ends what share of its strength it takes, at
/// most: as if the tube's greatest normal stress stood all round its end. Where the gate file
/// leaves the leg open it grows until that holds (filletLegFor_mm). A post's weld on its plate is
/// as the frame's report has it.
void weldToForces(const StructureReport& structure, const GateSpec& spec,
                  std::vector<WeldRow>& rows);

}  // namespace leafstack
