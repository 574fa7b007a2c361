// Masses estimated from sections against the solids' own, over the matrix of gates.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "generator/compare/cost/estimate.h"
#include "generator/loads/statics/panel_masses.h"
#include "tests/support/built_gates.h"

namespace leafstack {
namespace {

/// The worst panel's relative error.
double worstOf(const GateSpec& spec, const Model& model) {
  const std::vector<Bill> bills = Estimator(spec).panelsOf(spec, model.layout);
  const std::vector<PanelMass> masses = panelMasses(model);
  EXPECT_EQ(bills.size(), masses.size());
  double worst = 0;
  for (std::size_t i = 0; i < masses.size(); ++i) {
    worst = std::max(worst, std::abs(bills[i].massKg() / masses[i].mass_kg - 1));
  }
  return worst;
}

TEST(CompareEstimate, PanelsAgreeWithTheirSolids) {
  for (const gates::Built& gate : gates::builtMatrix()) {
    EXPECT_LT(worstOf(gate.model.spec, gate.model), kEstimateAgreement) << gate.text;
  }
}

TEST(CompareEstimate, OnSlopesToo) {
  for (const std::string top : {"raked", "level", "stepped"}) {
    const GateSpec spec =
        gates::specWith({{"/gate/panels", 3},
                         {"/site/grade", 0.03},
                         {"/gate/top", top},
                         {"/gate/infill/kind", top == "level" ? "slats" : "sheet"},
                         {"/gate/cladding/kind", "battens"},
                         {"/gate/cladding/width_mm", 171},
                         {"/gate/cladding/gap_mm", 34}});
    const Model model = buildModel(spec, gates::laidOut(spec));
    EXPECT_LT(worstOf(spec, model), kEstimateAgreement) << top;
  }
}

TEST(CompareEstimate, CountsWhatIsBought) {
  const GateSpec spec = gates::specWith({{"/gate/panels", 3}});
  const std::vector<Bill> bills = Estimator(spec).panelsOf(spec, gates::laidOut(spec));
  int wheels = 0, pulleys = 0, ropes = 0, brackets = 0;
  for (const Bill& bill : bills) {
    wheels += bill.of(Stock::kWheel).items;
    pulleys += bill.of(Stock::kPulley).items;
    ropes += bill.of(Stock::kRope).items;
    brackets += bill.of(Stock::kRopeBracket).items;
  }
  EXPECT_EQ(wheels, 6);    // two a panel
  EXPECT_EQ(pulleys, 4);   // two on every panel but the front one
  EXPECT_EQ(ropes, 4);     // an opening and a closing one round each
  EXPECT_EQ(brackets, 3);  // two front ones, one rear one; the ground's is no panel's
}

}  // namespace
}  // namespace leafstack
