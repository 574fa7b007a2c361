#include "generator/model/coats.h"

namespace leafstack {

double coatOn_mm(const ShopSpec& shop, const Part& part) {
  const bool is_cut = part.supply == Supply::kCutTube || part.supply == Supply::kCutBar ||
                      part.supply == Supply::kCutPlate;
  // Zinc is for steel; powder and paint are for both.
  const bool is_coated = part.material == "steel" ||
                         (part.material == "aluminium" && shop.finish != ShopFinish::kGalvanised);
  return is_cut && is_coated && !rowOf(part.kind).is_fitted ? shop.coatMm() : 0;
}

}  // namespace leafstack
