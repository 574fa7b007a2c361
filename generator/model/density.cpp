#include "generator/model/density.h"

#include <numbers>

#include "params/catalogue/catalogue.h"

namespace leafstack {

double densityOf(const std::string& material, const GateSpec& spec) {
  if (material == "timber") return spec.gate.cladding.density_kg_m3;
  if (material == "rope") {
    // kg per 100 m per mm2 of nominal diameter squared, over the solid strand modelled.
    constexpr double kPer100M = 100, kMm2PerM2 = 1e6;
    return ropeClass(spec.ropes).mass_factor_kg_per_100m_mm2 / kPer100M / (std::numbers::pi / 4) *
           kMm2PerM2;
  }
  if (isInMaterials(material)) return materialClass(material).density_kg_m3;
  return 0;
}

}  // namespace leafstack
