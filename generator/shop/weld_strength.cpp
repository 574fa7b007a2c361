#include "generator/shop/weld_strength.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "generator/loads/details/rope_bracket_details.h"
#include "generator/loads/loads.h"
#include "params/catalogue/welds.h"

namespace leafstack {
namespace {

double stressAt(const StructureReport& structure, const WeldRow& row) {
  double most = 0;
  for (const StructureMember& member : structure.members) {
    if (member.panel == row.panel && member.mark == row.ending) {
      most = std::max(most, std::abs(member.normal_N_mm2));
    }
  }
  return most;
}

const StructureWeld* weldOfPost(const StructureReport& structure, const WeldRow& row) {
  const auto found =
      std::find_if(structure.welds.begin(), structure.welds.end(), [&](const StructureWeld& weld) {
        return !weld.mark.empty() && weld.mark == row.ending && row.kind == WeldKind::kFillet;
      });
  return found != structure.welds.end() ? &*found : nullptr;
}

}  // namespace

void weldToForces(const Model& model, const LoadReport& loads, std::vector<WeldRow>& rows) {
  const StructureReport& structure = loads.structure;
  const GateSpec& spec = model.spec;
  const double strength =
      filletStrength_N_mm2(spec.gate.material == FrameMaterial::kAluminium ? "aluminium" : "steel");
  detail_rows::weldToRopes(model, bracketPulls(loads.ropes), rows);
  for (WeldRow& row : rows) {
    if (detail_rows::isOfRopeBracket(model, row)) {
      continue;  // its rail's own force goes past it
    }
    if (const StructureWeld* known = row.panel == 0 ? weldOfPost(structure, row) : nullptr) {
      row.leg_mm = known->leg_mm;
      row.use = known->use;
    }
    const double stress = row.ending.empty() || row.panel == 0 ? 0 : stressAt(structure, row);
    if (stress <= 0) {
      continue;
    }
    if (row.kind == WeldKind::kButt) {
      row.use = stress / (strength * std::numbers::sqrt3);  // normal stress, not shear
      continue;
    }
    // What the wall brings to each millimetre of edge; the throat is leg / sqrt(2).
    const double line = stress * row.thinner_mm;
    if (!spec.shop.weld_leg_mm) {
      row.leg_mm = filletLegFor_mm(row.thinner_mm, row.thicker_mm, line, strength);
    }
    row.use = line * std::numbers::sqrt2 / (row.leg_mm * strength);
  }
}

}  // namespace leafstack
