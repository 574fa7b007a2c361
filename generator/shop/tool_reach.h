// Which tool turns a screw or nut where it stands: tried as solids against all that is there when it
// is put in. Sizes of tools stand with the tools, each with where it comes from.
#pragma once

#include <string>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

struct ToolReach {
  /// "socket 18", "open spanner 13"; "hexagon key 5, before RK1" where what is in its way is screwed
  /// on itself, and can be after it.
  std::string tool;
  std::vector<std::string> met;  ///< marks of what is in its way, none where it reaches
};

/// By fastening, in the model's order.
std::vector<ToolReach> toolReaches(const Model& model);

}  // namespace leafstack
