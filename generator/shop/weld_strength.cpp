#include "generator/shop/weld_strength.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace leafstack {
namespace {

constexpr double kGammaM2 = 1.25;
constexpr double kLegStepMm = 0.5;  // what a welder is told and can hold
constexpr double kUsualYield = 235;

struct Grade {
  double yield_N_mm2, ultimate_N_mm2, beta_w;
};
constexpr Grade kGrades[] = {{355, 470, 0.9}, {275, 430, 0.85}, {235, 360, 0.8}};

double strengthOf(const Grade& grade) {
  return grade.ultimate_N_mm2 / (std::numbers::sqrt3 * grade.beta_w * kGammaM2);
}

double stressAt(const StructureReport& structure, const WeldRow& row) {
  double most = 0;
  for (const StructureMember& member : structure.members) {
    if (member.panel == row.panel && member.mark == row.ending) {
      most = std::max(most, std::abs(member.normal_N_mm2));
    }
  }
  return most;
}

}  // namespace

double filletStrengthN_mm2(double yield_N_mm2) {
  for (const Grade& grade : kGrades) {
    if (yield_N_mm2 >= grade.yield_N_mm2) {
      return strengthOf(grade);
    }
  }
  return strengthOf(kGrades[2]) * yield_N_mm2 / kUsualYield;
}

void weldToForces(const StructureReport& structure, const GateSpec& spec,
                  std::vector<WeldRow>& rows) {
  if (spec.gate.material != FrameMaterial::kSteel) {
    return;
  }
  const double strength = filletStrengthN_mm2(spec.gate.yield_N_mm2.value_or(kUsualYield));
  for (WeldRow& row : rows) {
    const double stress = row.ending.empty() ? 0 : stressAt(structure, row);
    if (stress <= 0) {
      continue;
    }
    if (row.kind == WeldKind::kButt) {
      row.use = stress / (strength * std::numbers::sqrt3);  // normal stress, not shear
      continue;
    }
    // Per millimetre of edge the wall brings stress x wall; the throat is leg / sqrt(2).
    const double wanted = stress * row.thinner_mm * std::numbers::sqrt2 / strength;
    if (!spec.shop.weld_leg_mm) {
      const double utmost = row.thinner_mm * std::numbers::sqrt2;
      const double grown = std::ceil(wanted / kLegStepMm) * kLegStepMm;
      row.leg_mm = std::max(row.leg_mm, std::min(grown, utmost));
    }
    row.use = wanted / row.leg_mm;
  }
}

}  // namespace leafstack
