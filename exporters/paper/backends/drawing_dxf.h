// A drawing sheet as DXF R2000.
#pragma once

#include <string>

#include "exporters/paper/sheet/sheet.h"

namespace leafstack {

/// Model space holds the sheet in paper mm, 1:1 as plotted: one layer for each line role (of its
/// name in capitals, with its line weight and line type), FILL for filled areas, TEXT, DIMENSION.
/// Dimensions are DIMENSION entities; their styles' DIMLFAC is the scale, so they measure the paper
/// and read true. Layers have colours by what their lines say, for screens. Throws ExportError for
/// what is not finite.
std::string drawingDxf(const Sheet& sheet);

/// The sheet's views side by side, each 1:1 with its dimensions and words as large as its scale
/// makes them on the sheet; without frame, tables and notes. Line patterns follow the first view's
/// scale (LTSCALE). A sheet without views goes as above.
std::string modelDxf(const Sheet& sheet);

}  // namespace leafstack
