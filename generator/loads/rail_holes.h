// Where the bottom rails are weakened by pockets, slots and holes, and by how much.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "generator/loads/net_section.h"
#include "generator/model/model.h"

namespace leafstack {

/// A place along a rail.
struct WeakPlace {
  double at_mm = 0;  ///< from its leading end
  NetSection net;
  std::string taken_off;  ///< "axle and wheel pocket"
};

/// By part: both ends and the middle of every hole of every bottom rail, read from its solid, with
/// all the holes that lie at the same place.
std::map<int, std::vector<WeakPlace>> weakPlaces(const Model& model);

}  // namespace leafstack
