// Rope pulleys, each in a cradle that comes out of the rail's side with the gate on its track.
#pragma once

#include "generator/model/builder.h"

namespace leafstack {

/// A pulley with its cradle and all their screws; returns the pulley's instance.
int addPulley(ModelBuilder& builder, const PanelFrame& panel, const RopeLayout& rope, bool opening);

}  // namespace leafstack
