// Tolerance budget: before anything is measured, which drawn dimensions decide whether the gate
// works and how exact each must be.
//
// What is set on every site anyway (ropes, stops, catch post, motor) is taken to be set as well as
// may be; shims under tracks and posts are not. Clearances are those proved of the drawn gate, with
// their gradients: true near the drawing, a guess some millimetres from it. A gate works where what
// `as_built.clearance_mm` asks is left and every rule of corrections.h holds.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/as_built/built/built_gate.h"

namespace leafstack {

struct ToleranceRow {
  std::string what;  ///< "panel 2's length"
  /// It may be so much less and so much more, all else as drawn; kBudgetMostMm: at least that.
  double less_mm = 0, more_mm = 0;
  std::string binds;  ///< what then breaks first, on the tighter side

  double tightMm() const;
};
inline constexpr double kBudgetMostMm = 30;

struct BudgetShare {
  double within_mm = 0;  ///< every dimension anywhere within this, alike
  double works = 0;      ///< share of gates
};

struct ToleranceBudget {
  std::vector<ToleranceRow> rows;  ///< every dimension, the one that has to be most exact first
  double all_mm = 0;               ///< all at once within this, at worst against each other
  std::vector<BudgetShare> shares;
  int gates = 0;  ///< drawn at random for each share
};

/// `model` is the drawn gate's. Seeded: the same gate gives the same figures.
ToleranceBudget toleranceBudget(const Model& model);

}  // namespace leafstack
