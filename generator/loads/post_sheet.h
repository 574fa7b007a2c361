// The calculation sheet's lines on a post: its base plate, its anchors, the block under it.
#pragma once

#include <vector>

#include "generator/loads/frame/structure_report.h"
#include "generator/loads/sheet_line.h"
#include "generator/model/model.h"

namespace leafstack {

/// None for what hangs on the fence post.
std::vector<SheetLine> postLines(const Model& model, const StructurePost& post);

}  // namespace leafstack
