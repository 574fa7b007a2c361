// What follows from the shelf (params/spec/hardware_spec.h), and the rules of fitting its items
// into a gate: gaps that are no item's own size. mm throughout.
#pragma once

#include "params/catalogue/holes.h"
#include "params/spec/hardware_spec.h"

namespace leafstack::hardware {

inline constexpr double kTerminalBoreGapMm = 0.3;  ///< radial, terminal in its bracket
inline constexpr double kBoreEdgeMm = 2;           ///< metal beside a bracket's bores, least
inline constexpr double kPulleySlotGapMm = 2;      ///< slot beyond the cover, far side of the rail
inline constexpr double kPulleyEntryGapMm =
    0.5;                                       ///< slot beyond the pulley, on the side it goes in
inline constexpr double kCradleSlotGapMm = 1;  ///< slot above and below the cradle: zinc, paint
inline constexpr double kCheekGapMm = 0.5;     ///< running gap, pulley to either cheek
inline constexpr double kPulleyEndGapMm = 2;   ///< pulley's rim to its own rail's end, least
inline constexpr double kStrandOffsetBaseMm = 8;   ///< strand off the rail face, plus one rope
inline constexpr double kPulleyBoreGapMm = 0.1;    ///< radial, pulley on its pin
inline constexpr double kWheelPocketGapMm = 2;     ///< pocket beyond the wheel's sides
inline constexpr double kWheelPocketEndGapMm = 4;  ///< pocket beyond the wheel along X
inline constexpr double kGrooveOverBarMm = 0.5;    ///< radius: wheel and bar meet in one line
/// Where nobody gave a ring's groove: about what DIN 471 has for shafts of 8 to 40, from memory.
inline constexpr double kRingGroovePerAxle = 0.955;
/// Where nobody gave a pulley's groove: makers of ropes ask for 0.53 to 0.55 of the rope.
inline constexpr double kPulleyGroovePerRope = 0.54;
inline constexpr double kRootUnderHeelMm = 1;   ///< V groove's relief below the angle's heel
inline constexpr double kAxleSlidesMm = 0.4;    ///< hole beyond the axle: no slack to feel
inline constexpr double kFootFromWheelMm = 6;   ///< ground bracket's foot beside the wheel
inline constexpr double kFootFromKeeperMm = 3;  ///< the same beside a track keeper that passes
inline constexpr double kToothDepth = 2;        ///< teeth in mesh overlap by it, in modules
inline constexpr double kToothRootGap = 0.25;   ///< tip to root of two in mesh (ISO 53), in modules
inline constexpr double kRackClearanceMm = 5;   ///< rack above panel 1's pulleys and bracket
inline constexpr double kChannelBelowTopMm = 2;  ///< channel's top below its panel's top
inline constexpr double kBlockBelowTopMm = 5;    ///< block's top below its panel's top
inline constexpr double kOverheadGapMm = 15;     ///< overhead bracket above the panels

// Clearances of hardware against hardware; running gaps of guides stand above.
inline constexpr double kHardwareClearanceMm = 2;
inline constexpr double kCladdingClearanceMm = 15;  ///< cladding to the guide rail before it
inline constexpr double kCladdingOverRopeMm = 10;   ///< cladding above brackets and pulleys, least

}  // namespace leafstack::hardware

namespace leafstack {

/// Radius of a round groove.
inline double wheelGrooveRadiusMm(const HardwareSpec& shelf) {
  return shelf.wheel.groove_radius_mm.value_or(shelf.track.size_mm / 2 +
                                               hardware::kGrooveOverBarMm);
}
/// An axle's diameter in its rings' grooves.
inline double axleGrooveMm(const HardwareSpec& shelf) {
  return shelf.wheel.axle_groove_mm.value_or(hardware::kRingGroovePerAxle * shelf.wheel.axle_mm);
}
inline double axleHoleMm(const HardwareSpec& shelf) {
  return shelf.wheel.axle_mm + hardware::kAxleSlidesMm;
}
/// Highest line of the track above the footing.
inline double trackHeightMm(const TrackHardware& track) {
  return trackHeight_mm(track);
}
/// Bottom rail's underside above the footing: track, wheel's radius on it, less the axle's height.
inline double undersideOverFootingMm(const HardwareSpec& shelf) {
  return trackHeightMm(shelf.track) + shelf.wheel.running_mm / 2 - shelf.wheel.axle_up_mm;
}
inline double pinionPitchRadiusMm(const HardwareSpec& shelf) {
  return shelf.rack.module_mm * shelf.motor.pinion_teeth / 2;
}
/// Rack's lower edge above the bottom rail's underside, as the motor gives it without packers.
inline double bareRackUpMm(const HardwareSpec& shelf) {
  return shelf.motor.pinion_up_mm + pinionPitchRadiusMm(shelf) - shelf.rack.module_mm -
         undersideOverFootingMm(shelf);
}
/// From an ear's edge to the holes of the overhead bracket's plate, and from its upper and lower
/// edge.
inline double overheadHoleEdgeMm(const PostHardware& post) {
  return leastHoleEdge_mm(post.overhead_hole_mm);
}
/// What the open-end stop takes behind a parked panel, its buffer apart.
inline double stopPastPanelMm(const HardwareSpec& shelf) {
  return shelf.stop.gap_mm + shelf.stop.thickness_mm;
}

}  // namespace leafstack
