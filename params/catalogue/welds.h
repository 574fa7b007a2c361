// Room for welds and for the sockets that tighten anchors beside them.
#pragma once

#include <string_view>

namespace leafstack {

/// Least leg of a fillet by the thicker of the parts it joins; a published table.
double leastFilletLeg_mm(double thicker_mm);

/// The leg that a fillet gets: the least by the thicker part, no more than the thinner one.
double filletLeg_mm(double one_mm, double other_mm);

/// The same, by half millimetres larger until it bears `line_N_mm`; at the utmost the last half
/// millimetre at which its throat is no thicker than the thinner part.
double filletLegFor_mm(double one_mm, double other_mm, double line_N_mm, double strength_N_mm2);

/// Design strength of a fillet on its throat. Steel: f_u / (sqrt 3 x beta_w x gamma_M2) of S235,
/// 360 / (sqrt 3 x 0.8 x 1.25) (EN 1993-1-8, 4.5.3.3). Aluminium: f_w / (sqrt 3 x gamma_Mw) of
/// EN AW-6060 welded with 5356, 160 / (sqrt 3 x 1.25) (EN 1999-1-1, 8.6.3; from memory).
double filletStrength_N_mm2(std::string_view material);

/// A plate stands out beyond a weld all round it by this, from memory.
inline constexpr double kPlateBeyondWeld_mm = 3;

/// From an anchor's axis to a wall beside it, for the socket that tightens it: half of a socket's
/// outside for the thread that goes through a hole, read off a maker's chart.
double socketRoom_mm(double hole_mm);

}  // namespace leafstack
