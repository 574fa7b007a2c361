// What the checks hand to the grouping: pairs of instances with something wrong.
#pragma once

#include <vector>

#include "generator/clash/proof/proof.h"

namespace leafstack {

enum class PairFault { kShort, kTooDeep, kContactLost, kUnresolved };

struct PairFinding {
  int a = 0, b = 0;
  PairFault fault{};
  Requirement required;
  std::vector<Stretch> contact;  ///< where they meet
  std::vector<Stretch> below;    ///< where the requirement is not kept
  double ends_within_mm = 0;
  Clearance least;
  Fineness fineness = Fineness::kCoarse;
  bool is_contained = false;
};

}  // namespace leafstack
