// One workable set of hardware: invented, generic sizes that a fabricator replaces with their own
// catalogue. Heights are "up" from the bottom rail's underside; offsets across the track are from
// the face named. mm throughout.
#pragma once

namespace leafstack::hardware {

// Rope brackets: the block that holds both ropes' ends.
inline constexpr double kBracketHalfLengthMm = 16;  ///< along X, each side of the centre
inline constexpr double kBracketHalfHeightMm = 8;   ///< in Z, each side of the rope
inline constexpr double kBracketFaceGapMm = 5;      ///< inner edge off the carrying rail's face
inline constexpr double kStudOverRopeMm = 3;        ///< stud diameter beyond the rope's
inline constexpr double kStudProjectionMm = 4;      ///< stud beyond the bracket's side
inline constexpr double kStudBoreGapMm = 0.3;       ///< radial, stud in bracket

// Rope pulleys.
inline constexpr double kPulleyThicknessMm = 14;
inline constexpr double kPulleyFlangeMm = 4;      ///< outside radius beyond the pitch radius
inline constexpr double kPulleySlotGapMm = 2;     ///< slot beyond the pulley on every side
inline constexpr double kPulleyEndGapMm = 2;      ///< pulley's rim to its own rail's end, least
inline constexpr double kStrandOffsetBaseMm = 8;  ///< strand off the rail face, plus one rope
inline constexpr double kPulleyBoltMm = 12;
inline constexpr double kPulleyBoreGapMm = 0.1;  ///< radial, pulley on its bolt
inline constexpr double kLowRopeUpMm = 36;       ///< odd panels
inline constexpr double kHighRopeUpMm = 66;      ///< even panels

// Track wheels on a round track bar.
inline constexpr double kWheelOutsideMm = 100;
inline constexpr double kWheelRunningRadiusMm = 45;
inline constexpr double kWheelThicknessMm = 20;
inline constexpr double kWheelInsetMm = 160;       ///< axle from the panel's end, at least
inline constexpr double kWheelPocketGapMm = 2;     ///< pocket beyond the wheel's sides
inline constexpr double kWheelPocketEndGapMm = 4;  ///< pocket beyond the wheel along X
inline constexpr double kAxleUpMm = 15;
inline constexpr double kAxleMm = 12;
inline constexpr double kAxleHoleMm = kAxleMm + 0.4;  ///< axle slides in, no slack to feel
inline constexpr double kAxleProjectionMm = 2.5;      ///< head off the rail's face: passes brackets
inline constexpr double kAxleHeadMm = 20;
inline constexpr double kTrackBarMm = 20;
/// Bottom rail's underside above the footing: bar + running radius - axle height.
inline constexpr double kUndersideOverFootingMm = kTrackBarMm + kWheelRunningRadiusMm - kAxleUpMm;

// Drive.
inline constexpr double kRackHeightMm = 30;
inline constexpr double kRackThicknessMm = 12;
inline constexpr double kRackOffsetMm = 20;   ///< rack's near side off panel 1's rear face
inline constexpr double kRackPieceMm = 1000;  ///< longest piece
inline constexpr double kRackModuleMm = 4;
inline constexpr double kRackStandoffMm = 16;  ///< diameter
inline constexpr double kBareRackUpMm = 15;    ///< rack height the motor gives on its bare base
inline constexpr double kRackClearanceMm = 5;  ///< rack above panel 1's pulleys and bracket
inline constexpr int kPinionTeeth = 16;
inline constexpr double kPinionPitchRadiusMm = kRackModuleMm * kPinionTeeth / 2;
/// The pinion's axis above the motor's base, on the motor's own feet.
inline constexpr double kPinionOverBaseMm =
    kUndersideOverFootingMm + kBareRackUpMm + kRackModuleMm - kPinionPitchRadiusMm;
inline constexpr double kPinionOffsetMm = 23;  ///< near side off panel 1's rear face
inline constexpr double kPinionWidthMm = 12;
inline constexpr double kMotorOffsetMm = 44;  ///< body off panel 1's rear face
inline constexpr double kMotorDepthMm = 200;
inline constexpr double kMotorHeightMm = 300;

// Guides: an angle on the rear face, a lipped channel in front, a nylon block astride.
inline constexpr double kGuideRailThicknessMm = 4;
inline constexpr double kChannelWallMm = 4;
inline constexpr double kChannelLipGapMm = 9;       ///< channel's lips to the guide rail
inline constexpr double kChannelSlotMarginMm = 16;  ///< lip width each side of the slot
inline constexpr double kChannelHeightMm = 100;
inline constexpr double kBlockRunningGapMm = 1;  ///< each side, block in channel and on rail
inline constexpr double kBlockHeightMm = 60;
inline constexpr double kBlockRoofMm = 8;        ///< nylon above the rail
inline constexpr double kBlockJawMm = 7;         ///< jaw thickness across the track
inline constexpr double kChannelBelowTopMm = 2;  ///< channel's top below its panel's top
inline constexpr double kBlockBelowTopMm = 5;    ///< block's top below its panel's top

// Ground work and stops.
inline constexpr double kFootingDepthMm = 200;
inline constexpr double kEndStopGapMm = 5;  ///< stop off the panel at the end of the travel
inline constexpr double kEndStopThicknessMm = 12;
/// What the open-end stop takes behind a parked panel.
inline constexpr double kStopPastPanelMm = kEndStopGapMm + kEndStopThicknessMm;
inline constexpr double kCatchGapMm = 5;     ///< catch plates off the front panel's faces
inline constexpr double kCatchReachMm = 30;  ///< catch plates past the closed leading end
inline constexpr double kCatchPostMm = 60;
inline constexpr double kBasePlateMm = 10;    ///< thickness
inline constexpr double kOverheadGapMm = 15;  ///< overhead bracket above the panels
inline constexpr double kOverheadTubeMm = 60;

// Clearances of hardware against hardware; running gaps of guides stand above.
inline constexpr double kHardwareClearanceMm = 2;
inline constexpr double kCladdingClearanceMm = 15;  ///< cladding to the guide rail before it
inline constexpr double kCladdingOverRopeMm = 10;   ///< cladding above brackets and pulleys, least

}  // namespace leafstack::hardware
