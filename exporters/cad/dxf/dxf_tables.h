// Header, tables, blocks' table and objects of a DXF file.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "exporters/cad/dxf/dxf_groups.h"

namespace leafstack {

using DxfExtents = std::array<double, 4>;  // low X, low Y, high X, high Y

/// Writes the section; returns the handles of the dimensions' block records, in their order.
std::vector<std::string> writeDxfTables(DxfGroups& out, const DxfContent& content,
                                        const DxfExtents& extents);
void writeDxfHeader(DxfGroups& out, const DxfContent& content, const DxfExtents& extents,
                    const std::string& next_handle);
void writeDxfObjects(DxfGroups& out);

}  // namespace leafstack
