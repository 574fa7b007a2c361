// How the wind moves the gate, drawn: to scale, and exaggerated.
#pragma once

#include <string>

#include "generator/loads/frame/structure_report.h"

namespace leafstack {

/// How many times as large its movements are drawn, so that they are seen: 1, 2 or 5 with noughts.
double exaggerationOf(const DeflectedShape& shape);

/// A figure for each position of the drive; "" where no frame could be made. Seen from the road,
/// the track's cross direction drawn slantwise. `opening_sign`: the model's.
std::string deflectedFigures(const StructureReport& structure, double opening_sign);

}  // namespace leafstack
