// The search for what rids a gate of one warning, or of all that tells against it.
#pragma once

#include <optional>
#include <string_view>

#include "generator/cures/trial.h"

namespace leafstack {

/// The clash check's word, in place of a warning's id.
inline constexpr std::string_view kClash = "clash";
/// Everything that tells against the gate, at once.
inline constexpr std::string_view kAllWarnings = "";

/// What a search starts from.
struct Start {
  const Outcome& outcome;        ///< of the gate so far, with the clash check
  const Settings& settings;      ///< that it has so far: taken for granted
  long most_instances = 0;       ///< that `trials` may have built by the end
  long most_pairs = 0;           ///< that it may have checked: beyond, cures are not proved
  bool others_may_come = false;  ///< warnings that are cured later; hazards never
};

struct Found {
  std::optional<Settings> settings;  ///< with those of the start
  Outcome outcome;                   ///< with the clash check, where that was still made
  int tried = 0;                     ///< changes
};

/// A change that rids the gate of the warnings of this id, brings none that it had not (unless
/// those may come), and leaves the clash check no worse: single changes first, the smallest first,
/// then several on top of each other, of which none can be left out. Where others may come,
/// clearances may become short. For kAllWarnings the gate has
/// to be ready, clashes always checked; warnings may come and go on the way, hazards may not come.
Found searched(Trials& trials, std::string_view id, const Start& start);

/// Whether the clash check says no less of a gate than it said before, or at least that nothing
/// meets, where clearances may be short; all is well where nobody asked before.
bool clashesNoWorse(const Outcome& before, const Outcome& after, bool may_be_tight);

/// Whether a hazard is told of that was not before.
bool isHazardNew(const Outcome& before, const Outcome& after);

}  // namespace leafstack
