// The figures of a gate that are drawn into the model itself: for whoever orders it, opening, room,
// lengths, overlaps, height and ground clearance; for whoever sets it up, see
// generator/shop/place_dimensions.h.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "generator/geometry/moving/relative_motion.h"
#include "generator/model/model.h"

namespace leafstack {

/// Whom it is for.
enum class DimensionSet { kClient, kInstaller };

/// How it is drawn.
enum class DimensionLine {
  kLength,  ///< from tick to tick, with its label
  kSmall,   ///< the same, only where one is near enough to see it
  kPlace,   ///< from a place of the gate to where its label stands
  kDatum,   ///< the line that places are measured along: no label
};

/// A length between two points of the gate's frame (model.h), or where something stands.
struct OverlayDimension {
  std::string label;    ///< "opening", "room needed", "overlap of panels 1 and 2"
  double value_mm = 0;  ///< as the report or the set-out list says it
  std::array<double, 3> from_mm{}, to_mm{};
  Stretch shown_mm;      ///< where in the drive's travel it is true
  std::string key = {};  ///< of the gate file that it follows, "/site/opening_mm"; "" where none
  DimensionSet set = DimensionSet::kClient;
  DimensionLine line = DimensionLine::kLength;
  std::string figures = {};  ///< of a place, instead of its length: "X 6060, Y 429"
};

/// The client's. Opening and room throughout; lengths, overlaps, height and ground clearance when
/// closed, staggers when open. Where panels stand differently high over their ground, each has its
/// clearance.
std::vector<OverlayDimension> overlayDimensions(const Model& model);

}  // namespace leafstack
