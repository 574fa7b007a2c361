// Where bottom rails are weakened by pockets, slots and holes, other tubes by vents, and by how
// much.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "generator/loads/checks/net_section.h"
#include "generator/model/model.h"

namespace leafstack {

/// A place along a rail.
struct WeakPlace {
  double at_mm = 0;  ///< from its leading or lower end
  NetSection net;
  std::string taken_off;  ///< "axle and wheel pocket"
};

/// By part: both ends and the middle of every hole of every bottom rail, read from its solid, and
/// of every vent, with all the holes that lie at the same place.
std::map<int, std::vector<WeakPlace>> weakPlaces(const Model& model);

}  // namespace leafstack
