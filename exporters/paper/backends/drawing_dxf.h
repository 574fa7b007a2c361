// A drawing sheet as DXF R2000.
#pragma once

#include <string>

#include "exporters/paper/sheet/sheet.h"

namespace leafstack {

/// Model space holds the sheet in paper mm, 1:1 as plotted: one layer for each line role (of its
/// name in capitals, with its line weight and line type), FILL for filled areas, TEXT, DIMENSION.
/// Dimensions are DIMENSION entities; their styles' DIMLFAC is the scale, so they measure the paper
/// and read true. Throws ExportError for what is not finite.
std::string drawingDxf(const Sheet& sheet);

}  // namespace leafstack
