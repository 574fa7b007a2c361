// Wind: pressure from a speed, and net coefficients of walls by solidity and place.
//
// Sources: EN 1991-1-4, its sections on the peak velocity pressure (4.2 to 4.5) and free-standing
// walls (Table 7.9), rows V1 and V2 of params/catalogue/SOURCES.md; walls more open than the table
// allows as lattices, row V6.
#pragma once

#include <array>

#include "params/spec/gate_spec.h"

namespace leafstack {

inline constexpr double kAirKgM3 = 1.25;  ///< row V1

/// 0.5 rho v^2, Pa.
double velocityPressure_Pa(double speed_m_s);

/// Factor on the basic speed for another return period than 50 years: K 0.2, exponent 0.5.
double returnPeriodFactor(double years);

/// Peak velocity pressure at `height_m` above the ground, Pa. With kGust the speed is the gust's
/// own, and height and years do not matter.
double peakPressure_Pa(double speed_m_s, WindTerrain terrain, double years, double height_m);

/// Net coefficients of the zones A to D of a solid wall, interpolated by length over height and
/// constant beyond the table's ends.
std::array<double, 4> wallZones(double length_over_height);

/// Where the zones end, in heights from the wall's free end; D goes on.
inline constexpr std::array<double, 3> kZoneEnds = {0.3, 2, 4};

/// 1 - (1 - solidity)^2: what of a solid wall's force is left (row V4).
double coveredShare(double solidity);

/// Force coefficient of a plane lattice of flat-sided members on their own area, for a solidity
/// from 0 to 1; end effects, which only lessen it, left out (row V6).
double latticeCoefficient(double solidity);

/// Coefficient on the gross area for a solidity from 0 to 1, given the solid wall's: at 0.8 it is
/// 1.2 anywhere, straight between; more open it is a lattice (EN 1991-1-4, 7.4.1 and 7.11).
double coefficientAt(double solidity, double solid_coefficient);

/// A wall by its length and height and whether its ends are free.
struct WindWall {
  double from_mm = 0, to_mm = 0, height_mm = 0;
  bool free_ends = true;
};

/// Mean coefficient of a solid wall's zones from x0 to x1, inside the wall, for the wind from the
/// side that makes the nearer end the first.
double meanZone(const WindWall& wall, double x0_mm, double x1_mm);

}  // namespace leafstack
