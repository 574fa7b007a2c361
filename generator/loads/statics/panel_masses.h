// What each panel weighs, where, and what of it the wind sees, from the solids.
//
// Frame: the layout's (layout.h), closed, for either hand.
#pragma once

#include <array>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

struct PanelMass {
  double mass_kg = 0;
  std::array<double, 3> centre_mm{};
  std::vector<double> wheels_x_mm;  ///< axles, leading first
};

/// Of every panel, panel 1 first. What floats (guide blocks) counts for the panel it belongs to;
/// envelopes have no mass.
std::vector<PanelMass> panelMasses(const Model& model);

/// A panel's front between two X: the area between its underside and its top, and how much of that
/// its members cover.
struct FrontArea {
  double gross_mm2 = 0, solid_mm2 = 0;

  double solidity() const { return gross_mm2 > 0 ? solid_mm2 / gross_mm2 : 0; }
};
/// From x0 to x1, as far as the panel's frame goes. Exact for plumb and level members and for those
/// that run with the slope, but for their ends.
FrontArea frontArea(const Model& model, int panel, double x0_mm, double x1_mm);

}  // namespace leafstack
