// Pieces of layOut() that stand in files of their own; each fills in or judges part of a layout.
#pragma once

#include <vector>

#include "generator/layout/figures/layout_types.h"

namespace leafstack {

/// Half the height of a pulley's slot in the rail's side walls.
double halfSlotMm(const HardwareSpec& shelf);

/// Ropes, cladding, rack and motor, square to the rails; needs the panels' travels.
void layOutHeights(const GateSpec& spec, Layout& layout);

/// On surveyed ground the pinion is set for the rack's lowest place, which is known only after
/// findSurveyEffects(): raises a motor whose own wedges would run out, as far as the rail lets the
/// rack.
void raiseMotorOnSurvey(const GateSpec& spec, Layout& layout);

/// Pulleys, brackets and the heights of their bores.
void placeRopes(const GateSpec& spec, Layout& layout);

/// Every reason why a gate laid out like this cannot be built.
std::vector<LayoutProblem> problemsOf(const GateSpec& spec, const Layout& layout);

}  // namespace leafstack
