// The measuring sheet's pictures: SVG, schematic, with the letters of what is measured.
#pragma once

#include <string>

#include "generator/layout/layout.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

/// Elevation of the opening with posts, guide, pinion, ground bracket and receiver.
std::string sitePicture(const GateSpec& spec, const Layout& layout);
/// One panel from the front, with lengths, heights, diagonals, bow, pulleys and bracket.
std::string panelPicture(const Layout& layout, int panel);
/// HTML: a row a track, with room for eight levels at places that are given.
std::string trackTable(const Layout& layout);

}  // namespace leafstack
