// The calculation sheet's lines on a post (its base plate, its anchors, the block under it), and on
// the plates and welds that hold.
#pragma once

#include <vector>

#include "generator/loads/checks/sheet_line.h"
#include "generator/loads/frame/structure_report.h"
#include "generator/model/model.h"

namespace leafstack {

/// None for what hangs on the fence post.
std::vector<SheetLine> postLines(const Model& model, const StructurePost& post);

/// Plates of receivers and keepers, bent, and the fillets.
std::vector<SheetLine> holdingLines(const StructureReport& structure);

}  // namespace leafstack
