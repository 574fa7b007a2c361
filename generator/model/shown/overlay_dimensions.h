// The figures of a gate that are drawn into the model itself: opening, room, overlaps, height.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/geometry/moving/relative_motion.h"
#include "generator/model/model.h"

namespace leafstack {

/// A length between two points of the gate's frame (model.h).
struct OverlayDimension {
  std::string label;    ///< "opening", "room needed", "overlap of panels 1 and 2"
  double value_mm = 0;  ///< as the report says it
  std::array<double, 3> from_mm{}, to_mm{};
  Stretch shown_mm;      ///< where in the drive's travel it is true
  std::string key = {};  ///< of the gate file that it follows, "/site/opening_mm"; "" where none
};

/// Opening and room throughout; overlaps when closed, staggers and the parked length when open.
std::vector<OverlayDimension> overlayDimensions(const Model& model);

}  // namespace leafstack
