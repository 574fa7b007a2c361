// Arrangements of a site, each built and loaded: which of them are ready, and with what sections.
//
// Those that fit are looked at, in the order in which they rank by arithmetic, and then ranked
// anew: what is ready first. Clashes are checked of the first alone, since that an arrangement fits
// and is vouched for stands for being clear; where any are found it is not ready, and the next
// comes first. Sections that the gate file leaves to the program are chosen for the first; others
// take the same where these hold, and are raised from them where they do not (`raisedSections`);
// where that finds nothing they are not ready, and no other mount or motor of them is looked at.
// What comes first in the end has the lightest of its own. Everything is bounded by counting; what
// was not looked at is said in words.
//
// Properties (tests/cures/judged_test.cpp): J1 a verdict is that of the gate file with the
// arrangement's overrides, clashes left out where it is not proved; J2 what is not ready ranks
// after what is; J3 the same for any number of threads.
#pragma once

#include "generator/compare/arrangements.h"
#include "generator/cures/trial.h"

namespace leafstack {

struct JudgeOptions {
  /// Reads the gate with other values; none: sections are taken as they are.
  ReadGate read = nullptr;
  const PriceList* prices = nullptr;  ///< that the comparison was made with
  /// Parts of gates that are built, and built in choosing sections; pairs of parts whose clashes
  /// are checked. A plain gate of two panels has some 200 parts and 20'000 pairs, and choosing its
  /// sections takes some 10'000 parts.
  long most_instances = 20'000, most_choosing = 40'000, most_pairs = 300'000;
};

/// A number of panels, and why.
struct PanelChoice {
  int panels = 0;
  std::string why;
};

/// For a gate that leaves it to the program and fits: in the order in which compare ranks by
/// arithmetic, the first with the mount, motor and stacking given that is built and found ready,
/// clashes left out as above; where none is, the first. What sections that are left to the program
/// could cure does not count.
PanelChoice panelsByVerdict(const GateSpec& spec);

/// Fills in the verdicts and sections of a comparison, and ranks it anew.
void judgeArrangements(SiteComparison& comparison, const JudgeOptions& options = {});

}  // namespace leafstack
