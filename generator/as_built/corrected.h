// What becomes of a gate as built: verdict, what is to be set, proofs.
#pragma once

#include <string>
#include <vector>

#include "generator/as_built/built/built_gate.h"
#include "generator/clash/report/clash.h"

namespace leafstack {

/// One change, as it is told to whoever makes it.
struct Adjustment {
  std::string what;        ///< "rope RP1", "track 2", "end stop 2"
  std::string where;       ///< place along the gate, or pointer to a table
  std::string text;        ///< in full: which way and how much
  double by_mm = 0;        ///< signed: up, further along the opening direction, longer
  bool is_remade = false;  ///< it is cut or welded anew rather than set
};

/// A rope as it has to be set.
struct RopeSetting {
  std::string mark;
  int carrier = 1;
  bool opening = true;
  double longer_mm = 0;  ///< its way, closed, than drawn
  double range_mm = 0;   ///< that its terminals let out or draw in from mid-way, both together
  double thread_pitch_mm = 0;
  double turns = 0;  ///< of each of its two nuts: positive lets out
  bool isWithinRange() const;
};

/// Shims at one measured place of a track that is laid anew.
struct TrackShim {
  int track = 1;
  double x_mm = 0;
  double found_mm = 0;  ///< as measured, over the drawn track
  double shim_mm = 0, grind_mm = 0;
};

enum class BuiltVerdict { kWorks, kWorksAfter, kRemake, kCannot };
std::string_view toString(BuiltVerdict verdict);

/// A pair that does not do as built, and what becomes of it.
struct BuiltPairVerdict {
  std::string pair;
  double clearance_mm = 0, required_mm = 0;  ///< as built, before anything is set
  bool works_after = false;
};

struct Corrected {
  BuiltVerdict verdict = BuiltVerdict::kWorks;
  BuiltSettings set;
  std::vector<Adjustment> adjustments;
  std::vector<RopeSetting> ropes;
  std::vector<TrackShim> shims;
  std::vector<BuiltPairVerdict> pairs;
  std::vector<std::string> unmet;  ///< rules that nothing serves, in words
  /// What stands would stand in each other: measured wrong, or cut since. Nothing is looked for
  /// then.
  std::vector<std::string> contradictions;
  ClashReport as_measured;  ///< its figures by the meshes, to their error
  ClashReport proved;
  int proofs = 0;
  Model model;  ///< as proved last
};

}  // namespace leafstack
