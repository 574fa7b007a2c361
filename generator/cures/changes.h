// What may be changed about a gate so that a warning goes: rows of data, smallest change first.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "generator/cures/trial.h"
#include "generator/loads/load_report.h"

namespace leafstack {

/// One change, some steps up (or down) a row.
struct Change {
  int row = 0;   ///< of the table of changes; changes of one row are steps of the same thing
  int step = 1;  ///< from 1
  int steps_in_all = 1;
  int size = 0;  ///< how much is asked of whoever makes the gate: less is tried first
  Settings settings;
};

/// Changes that may rid the gate of the warning, smallest first and then in the order of the table.
/// None weakens what is checked: no load, limit, or factor is among them.
/// `spec` is the gate as it is, `times_allowed` how far the warning is over; what is left to be
/// computed ("auto") has no steps.
std::vector<Change> changesFor(std::string_view warning_id, const GateSpec& spec,
                               double times_allowed);

}  // namespace leafstack
