// Flat profiles as DXF files for the CNC shop, one part a file, and their list.
#pragma once

#include <string>

#include "exporters/cad/dxf/dxf.h"
#include "generator/shop/schedules.h"

namespace leafstack {

struct ProfileOptions {
  DxfVersion version = DxfVersion::kR2000;
  /// Layers BEND and MARK beside CUT: folds, and the mark for shallow engraving, where it has room.
  bool with_marks = false;
};

/// 1:1 in mm, no kerf applied. Layer CUT: each loop one closed polyline with true arcs, or a
/// circle.
std::string profileDxf(const ProfileRow& row, const ProfileOptions& options);

/// tables/profiles.csv: file, thickness, number and overall size, so that the shop can check scale.
std::string profilesCsv(const Schedules& schedules);

}  // namespace leafstack
