// Wheel axles, bent between the walls or cheeks that they lie in.
#pragma once

#include "generator/loads/frame/structure_report.h"
#include "generator/model/model.h"

namespace leafstack {

/// A wheel's axle as a pin (EN 1993-1-8, 3.13, table 3.10): under the weight F, F (b + 4 c + 2 a) /
/// 8 with a wall or cheek a, hub b and gap c, against 1.5 W f_y; and half of what the groove holds
/// sideways, at the wheel's radius. `vertical_N` and `lateral_N` are the greatest of any case,
/// without factors. The axle counts as steel of the frame's yield: 235 N/mm2 unless the shelf's is
/// known.
StructureAxle axleOf(const GateSpec& spec, const StructureWheel& wheel);

/// Of every wheel that the report has.
void addAxles(const GateSpec& spec, StructureReport& report);

}  // namespace leafstack
