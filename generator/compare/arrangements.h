// Every arrangement of a gate for one site: what it needs, what it weighs, what drives it, whether
// it fits, and what would make it fit. Arithmetic only, from the functions that `check` uses.
//
// Whether they stand in the wind, stay on their tracks and start is for generator/cures to find out
// (judged.h), which builds them.
//
// Varied: panels 1 to 4, stacking (from three panels on; with fewer there is nothing to stagger),
// mount, and the catalogue's motors with one's own where the gate file gives one. Everything else
// is as the gate file says. Lists that hold one number a panel hold only for the number of panels
// they were given for; elsewhere they are "auto".
//
// Properties (tests/compare/compare_test.cpp, tests/compare/compare_consistency_test.cpp):
//  A1  an arrangement's room, binding constraint and lengths are those of layOut() for the gate
//  file
//      with its `overrides`.
//  A2  `fits` says that it can be laid out, takes no more room than is given, and that no number
//      given undercuts what the layout would choose or closes a gap; such a gate, where the
//      comparison is `vouched` for, builds clear.
//  A3  every fix, applied, gives an arrangement that fits.
#pragma once

#include "generator/compare/arrangement.h"
#include "generator/compare/prices.h"

namespace leafstack {

struct CompareOptions {
  bool in_words = true;  ///< fixes, reasons and notes; a sweep goes without
  const PriceList* prices = nullptr;
};

SiteComparison compareArrangements(const GateSpec& spec, const CompareOptions& options = {});

/// One arrangement of a gate. Its sections are those of `spec`.
Arrangement arrangementOf(const GateSpec& spec, const ArrangementChoice& choice,
                          const CompareOptions& options = {});

/// One of each number of panels, with the gate's mount, motor and stacking: best first.
std::vector<Arrangement> arrangementsByPanels(const GateSpec& spec);

/// A gate with panels "auto" with the best number of them by arithmetic in place of the word; any
/// other gate as it is. What layOut() is given.
GateSpec withPanelsChosen(const GateSpec& spec);

}  // namespace leafstack
