// Where things are set up, drawn into the model itself: the set-out list's own figures.
#pragma once

#include <vector>

#include "generator/model/shown/overlay_dimensions.h"
#include "generator/shop/set_out.h"

namespace leafstack {

/// The installer's. Posts, guide, motor, stops and what catches the gate, each with X and Y as the
/// set-out list has them, and Z where it hangs off the ground; the datum and a line along X in
/// front of the gate from which the places are led; under each foot how far its anchors are apart.
/// `rows`: setOutRows() of the same model.
std::vector<OverlayDimension> placeDimensions(const Model& model,
                                              const std::vector<SetOutRow>& rows);

}  // namespace leafstack
