// Entities of a DXF file, in the drawing and in its blocks.
#pragma once

#include <string>
#include <vector>

#include "exporters/cad/dxf/dxf_tables.h"

namespace leafstack {

/// The sections of blocks and of entities. `block_records`: their handles. Throws std::logic_error
/// for hatches and dimensions in R12.
void writeDxfBlocks(DxfGroups& out, const DxfContent& content,
                    const std::vector<std::string>& block_records);
void writeDxfEntities(DxfGroups& out, const DxfContent& content);

/// Of all there is to see, arcs and the blocks of dimensions among it, but text by its point alone.
DxfExtents extentsOf(const DxfContent& content);

}  // namespace leafstack
