// Drawing sheets as one PDF file.
#pragma once

#include <string>
#include <vector>

#include "exporters/bytes/provenance.h"
#include "exporters/paper/sheet/sheet.h"

namespace leafstack {

/// A page for each sheet, of its size, 1:1 with the paper: text as text, its face embedded, lines
/// as lines. Same sheets and provenance, same bytes. Throws ExportError for no sheets at all, and
/// for what is not finite.
std::string drawingPdf(const std::vector<Sheet>& sheets, const Provenance& provenance,
                       const std::string& title);

}  // namespace leafstack
