// What keeps a panel from running off its track while the gate is put up.
#pragma once

#include <string>

#include "generator/installing/installation.h"

namespace leafstack {

/// A stop that a panel's bottom rail meets, and when it comes.
struct PanelStop {
  std::string mark;  ///< of its buffer
  int step = 0;      ///< by which it stands, from 1; 0: there is none
};

struct PanelHolds {
  PanelStop open, closed;
  /// Of its track, towards the latch: from where it begins to where its first wheel stands closed,
  /// X in the gate's frame as it is laid out. There a stop is clamped where `closed` has none.
  double clamp_from_mm = 0, clamp_to_mm = 0;
};
PanelHolds holdsOf(const Model& model, const Installation& plan, int panel);

}  // namespace leafstack
