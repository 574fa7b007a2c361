// Welds of the frame against its forces.
#pragma once

#include <vector>

#include "generator/loads/frame/structure_report.h"
#include "generator/shop/welds/weld_rows.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// Design strength of a fillet's throat in N/mm2, for steel of that yield: f_u / (sqrt(3) beta_w
/// gamma_M2) with gamma_M2 1.25 (EN 1993-1-8, 4.5.3.3), f_u and beta_w of S235, S275 and S355
/// (EN 10025-2, EN 1993-1-8 table 4.1); below S235 in proportion.
double filletStrengthN_mm2(double yield_N_mm2);

/// Tells of every weld at which a tube of the frame ends what share of its strength it takes, at
/// most: as if the tube's greatest normal stress stood all round its end. Where the gate file
/// leaves the leg open it grows, by half millimetres, until that holds: at the utmost to a throat
/// as thick as the wall. Steel only: of aluminium nothing is said.
void weldToForces(const StructureReport& structure, const GateSpec& spec,
                  std::vector<WeldRow>& rows);

}  // namespace leafstack
