// How near two parts may come, by class of pair, and why.
#pragma once

#include <string>

#include "generator/model/model.h"

namespace leafstack {

struct Requirement {
  double clearance_mm = 0;
  std::string reason;
};

/// Clearance asked between two parts that move relative to each other and are no designed contact.
Requirement requiredClearance(const GateSpec& spec, PartKind a, PartKind b);

}  // namespace leafstack
