// Finishes as thickness: solids are drawn bare.
#pragma once

#include "generator/model/model.h"

namespace leafstack {

/// What the finish adds to a part's faces, mm. None on what is bought, and on what is turned to a
/// bore that runs on it.
double coatOn_mm(const ShopSpec& shop, const Part& part);

}  // namespace leafstack
