// What several part builders need: spaces to fill, holes that match their bolts.
#pragma once

#include <string>
#include <vector>

#include "generator/builder.h"

namespace leafstack {

/// Common practice, no source: uprights no further apart than this.
inline constexpr double kGreatestBayMm = 2000;
inline constexpr double kPulleyBoltHoleMm =
    hardware::kPulleyBoltMm + 1;  ///< in the underside: M12 medium fit

/// A clear space between two uprights, along the panel.
struct Bay {
  double from_mm = 0, width_mm = 0;
};

/// What infill may fill, between rails and uprights; heights in the gate's frame.
struct InfillSpace {
  double low_z_mm = 0, height_mm = 0;
  std::vector<Bay> bays;
};
InfillSpace infillSpace(const ModelBuilder& builder, const PanelFrame& panel);

double wallOfBottomRail(const PanelFrame& panel);
/// Outside radius of a rope pulley.
double pulleyRimMm(const GateSpec& spec, const RopeLayout& rope);
inline constexpr double kPulleyEntryGapMm = 1;  ///< rear slot beyond the pulley's radius
inline constexpr double kSlotCornerMm = 3;

/// Running gap of a sleeve, both ends together.
inline constexpr double kSleeveEndGapMm = 1;
/// A spacer sleeve along `axis` from the origin, for a bolt or axle of `bolt_mm`.
int sleevePart(ModelBuilder& builder, Plane axis, double length_mm, double bolt_mm);

/// A wheel further than this off its track bar has left it.
inline constexpr double kWheelOnTrackMm = 0.05;

/// Evenly spaced bars: how many of `bar_mm` leave gaps of at most `gap_mm` in `clear_mm`, and the
/// gap.
struct Spacing {
  int count = 0;
  double gap_mm = 0;
};
Spacing evenSpacing(double clear_mm, double bar_mm, double gap_mm);

/// Y of the infill's front in the panel's frame: centred, or behind a channel let into the frame.
double infillFrontMm(const PanelFrame& panel, double infill_depth_mm);

/// "SHS 80x80x4", or "RHS 60x70x3" where the sides differ.
std::string hollowName(double height_mm, double depth_mm, double wall_mm);

}  // namespace leafstack
