// What the installer sets out from one datum.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/loads/frame/structure_report.h"
#include "generator/model/model.h"

namespace leafstack {

/// One row of tables/set-out.csv. X from the latch-side post face towards the storage side, Y from
/// the back face of the fence line towards the property, Z from the driveway on the front track at
/// X = 0: the layout's frame, for either hand.
struct SetOutRow {
  std::string item, mark, point;
  std::array<double, 3> at_mm{};
  std::string note;
  std::string hint;  ///< what follows it for whoever writes the gate file, not on site
};

/// Everything that is set out on site, in the order of work. `structure` gives the blocks under the
/// posts; a model that is no frame has none.
std::vector<SetOutRow> setOutRows(const Model& model, const StructureReport& structure);

}  // namespace leafstack
