// Cures of a gate that is not ready, found by trying: each warning's own, and one for all together.
//
// A change is a cure where the gate so changed is read, laid out, built and loaded without that
// warning and without any that was not there before, and where the clash check, made anew through
// the whole travel, is no worse: where that took too many pairs of parts, a cure says that it was
// not made, but the one for all together is only told where it was. Single changes are tried first,
// the smallest first; then changes are put on top of each other, in every round the one that brings
// the warning nearest to its limit. All is bounded by counting.
//
// Properties (tests/cures/cures_test.cpp): C1 a cure's settings, read with the gate file, give a
// gate without the warning and without any new one; C2 those of all together give a gate that is
// ready, or where none do and clashes alone were cured, one without clashes; C3 the same for any
// number of threads; C4 a gate that is ready is not tried at all.
#pragma once

#include "generator/cures/trial.h"
#include "generator/model/model.h"

namespace leafstack {

/// How far a search goes, all its trials together.
struct CureBudget {
  /// Parts of gates built for the warnings' own cures, shared evenly among them, and then for the
  /// whole gate's. A plain gate of two panels has some 200, so 2'500 are twelve such gates.
  long instances = 0, instances_together = 0;
  /// Pairs of parts whose clashes are checked, for the warnings' own cures and again for the whole
  /// gate's: one check of a plain gate of two panels takes some 20'000. Once they are used up a
  /// warning's cure says that clashes were not checked; the whole gate's always are.
  long pairs = 0;
  /// No clash check is made of gates of which one takes more: nothing is told of the whole gate
  /// then. A plain gate of two panels on a survey of up to 15 points has some 200'000.
  long pairs_of_one = 0;
  bool is_brief = false;
};

/// For every check, and where it is asked for. DEVELOPERS.md has how long they take.
inline constexpr CureBudget kBriefCures{2'500, 2'500, 45'000, 600'000, true};
inline constexpr CureBudget kThoroughCures{16'000, 90'000, 600'000, 20'000'000, false};

/// A gate as it is, in the terms of trials. `clash` is null where it does not fit its site.
Outcome outcomeOf(const Model& model, const LoadReport& loads, const ClashReport& clash);

/// Fills in the cures of what tells against the gate, and `together`; nothing where it is ready.
/// `as_is` is what `trials` would find without settings.
void addCures(Advice& advice, const Outcome& as_is, Trials& trials, const CureBudget& budget);

/// The same for a gate that does not fit its site: `together` alone, from what would make it fit.
void addFittingCure(Advice& advice, const GateSpec& spec, const Layout& layout, Trials& trials,
                    const CureBudget& budget);

}  // namespace leafstack
