// Room for welds and for the sockets that tighten anchors beside them.
#pragma once

namespace leafstack {

/// Least leg of a fillet by the thicker of the parts it joins; a published table.
double leastFilletLeg_mm(double thicker_mm);

/// A plate stands out beyond a weld all round it by this, from memory.
inline constexpr double kPlateBeyondWeld_mm = 3;

/// From an anchor's axis to a wall beside it, for the socket that tightens it: half of a socket's
/// outside for the thread that goes through a hole, read off a maker's chart.
double socketRoom_mm(double hole_mm);

}  // namespace leafstack
