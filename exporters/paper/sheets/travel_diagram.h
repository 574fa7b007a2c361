// Where every panel's two ends stand as the drive travels, and how far neighbours overlap.
#pragma once

#include "exporters/paper/sheet/paper.h"
#include "generator/layout/layout.h"
#include "generator/model/model.h"

namespace leafstack {

/// The diagram, its lower left corner at the origin, no larger than the box: drive travel to the
/// right, stations along the track (layout X) up.
Sheet travelDiagram(const Model& model, double width_mm, double height_mm);

/// By itself, for web pages: no frame.
Sheet travelPicture(const Model& model);

}  // namespace leafstack
