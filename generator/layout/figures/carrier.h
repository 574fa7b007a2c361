// A wheel's carrier: plate bolted under the bottom rail, a cheek on either side of the wheel, the
// axle through both. Heights are above the rail's underside, hence negative.
#pragma once

#include <algorithm>
#include <cmath>

#include "generator/layout/figures/hardware.h"
#include "params/catalogue/catalogue.h"

namespace leafstack {

namespace hardware {
inline constexpr double kWheelUnderPlateMm = 2;  ///< wheel's rim below its plate, least
inline constexpr double kCheekEdgeMm = 3;        ///< cheek beyond the axle's head
inline constexpr double kThreadWalls = 3;        ///< flow-drilled bush: about so many walls long
}  // namespace hardware

inline bool isOnPlate(const HardwareSpec& shelf) {
  return shelf.wheel.mount == WheelMount::kPlate;
}
/// Half of what a wheel and its carrier take along the track.
inline double wheelHalfLengthMm(const HardwareSpec& shelf) {
  const double half = shelf.wheel.outside_mm / 2;
  return isOnPlate(shelf) ? std::max(half, shelf.wheel.plate_length_mm / 2) : half;
}
inline double plateUndersideMm(const HardwareSpec& shelf) {
  return -(shelf.wheel.packing_mm + shelf.wheel.plate_mm);
}
/// Half of the width over the cheeks, and over the axle's heads.
inline double cheekHalfWidthMm(const HardwareSpec& shelf) {
  return shelf.wheel.width_mm / 2 + hardware::kWheelPocketGapMm + shelf.wheel.cheek_mm;
}
inline double carrierHalfWidthMm(const HardwareSpec& shelf) {
  return std::max(shelf.wheel.plate_width_mm / 2,
                  cheekHalfWidthMm(shelf) + shelf.wheel.axle_projection_mm);
}
/// Half of a cheek's length, below at the axle and above at the plate, where the bolts' heads end
/// it.
inline double cheekLowHalfMm(const HardwareSpec& shelf) {
  return shelf.wheel.axle_head_mm / 2 + hardware::kCheekEdgeMm;
}
inline double cheekHighHalfMm(const HardwareSpec& shelf) {
  const ThreadClass& bolt = threadClass(shelf.wheel.plate_bolt_mm);
  return (shelf.wheel.bolt_pitch_mm - bolt.across_corners_mm) / 2 - hardware::kHardwareClearanceMm;
}
/// Least distance between bolts along the track: their heads beside the wheel's rim, which is
/// nearer to the plate than a head is high, and beside the cheeks.
inline double leastBoltPitchMm(const HardwareSpec& shelf) {
  const ThreadClass& bolt = threadClass(shelf.wheel.plate_bolt_mm);
  const double rim = shelf.wheel.outside_mm / 2 + hardware::kHardwareClearanceMm;
  const double head_low = plateUndersideMm(shelf) - bolt.head_mm - shelf.wheel.axle_up_mm;
  const double chord = head_low < rim ? std::sqrt(rim * rim - head_low * head_low) : 0;
  const double beside = std::max(chord, cheekLowHalfMm(shelf) + hardware::kHardwareClearanceMm);
  return 2 * beside + bolt.across_corners_mm;
}

}  // namespace leafstack
