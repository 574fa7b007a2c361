// What carries the gate and is no member of its frame: guide rails and channels under their blocks,
// cladding and infill sheets, wheels' carriers and the walls that axles lie in, tracks and what
// holds them, an overhead bracket's anchors. By hand formulas, each with its source.
//
// N, mm, N/mm2. Forces are the frame's; wind and push with checks.wind_factor, weight where it does
// harm with 1.35.
#pragma once

#include "generator/loads/details/detail_parts.h"

namespace leafstack {

/// Adds rows and provisos to a report that has its wheels, blocks, posts, plates and reactions.
void addDetails(const Model& model, const DetailWind& wind, StructureReport& report);

}  // namespace leafstack
