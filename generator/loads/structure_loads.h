// Loads on the frame of the whole gate.
#pragma once

#include "generator/loads/frame/gate_frame.h"
#include "generator/loads/load_report.h"

namespace leafstack {

/// Wind along +Y, unfactored, of the pressure that `wind` has, on the gate with its drive at
/// `drive_mm`. Where panels stand one behind the other they are one wall of their joint solidity,
/// whose force each takes by its own share of what covers it. A panel's force goes to its members
/// by their areas; what a sheet or boards take goes to both rails. Closed, what stands beyond the
/// opening is in the lee of the fence.
frame::Loads windOn(const Model& model, const WindReport& wind, const frame::GateFrame& gate,
                    double drive_mm);

/// Its own weight: members, and masses at nodes. Members run to where axes meet and know no holes:
/// of every panel they are scaled, along the track, so that it weighs what its solids do, where
/// they do.
frame::Loads weightOf(const Model& model, const frame::GateFrame& gate);

/// A person's push along +Y on the front panel's top leading corner.
frame::Loads pushOn(const Model& model, const frame::GateFrame& gate);

}  // namespace leafstack
