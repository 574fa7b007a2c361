// Welds against the forces that they carry: of the frame, and of what holds the ropes.
#pragma once

#include <vector>

#include "generator/loads/load_report.h"
#include "generator/shop/welds/weld_rows.h"

namespace leafstack {

/// Tells of every weld at which a tube of a panel ends what share of its strength it takes, at
/// most: as if the tube's greatest normal stress stood all round its end. Where the gate file
/// leaves the leg open it grows until that holds (filletLegFor_mm). A post's weld on its plate is
/// as the frame's report has it; a rope bracket's, as weldToRopes() finds it.
void weldToForces(const Model& model, const LoadReport& loads, std::vector<WeldRow>& rows);

}  // namespace leafstack
