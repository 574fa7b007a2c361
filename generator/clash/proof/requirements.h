// How near two parts may come, by class of pair, and why.
#pragma once

#include <string>

#include "generator/model/coats.h"
#include "generator/model/model.h"

namespace leafstack {

struct Requirement {
  double clearance_mm = 0;
  std::string reason;
  double coats_mm = 0;  ///< of that, what finishes take: faces drawn nearer meet once coated
};

/// Clearance asked between two parts that move relative to each other and are no designed contact.
Requirement requiredClearance(const GateSpec& spec, PartKind a, PartKind b);

/// The clearance that the faces as drawn must keep so that the coated ones keep what is required.
Requirement withCoats(Requirement required, const ShopSpec& shop, const Part& a, const Part& b);

}  // namespace leafstack
