// A drawing sheet as SVG.
#pragma once

#include <string>

#include "exporters/bytes/provenance.h"
#include "exporters/paper/sheet/sheet.h"

namespace leafstack {

/// One SVG 1.1 document of the sheet's size in mm, its user unit 1 mm: a group for each line role,
/// of that role's name, text as text in its width whatever face the reader has. No scripts, nothing
/// outside the file. Throws ExportError for what is not finite.
std::string drawingSvg(const Sheet& sheet, const Provenance& provenance);

}  // namespace leafstack
