#include "generator/loads/frame/frame_metal.h"

#include "params/catalogue/catalogue.h"

namespace leafstack {

std::string frameMaterialName(const GateSpec& spec) {
  return spec.gate.material == FrameMaterial::kSteel ? "steel" : "aluminium";
}

double frameYield_N_mm2(const GateSpec& spec) {
  return spec.gate.yield_N_mm2.value_or(materialClass(frameMaterialName(spec)).yield_N_mm2);
}

}  // namespace leafstack
