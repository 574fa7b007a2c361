// Blanks of folded parts: straight prisms of one thin, bent cross-section.
#pragma once

#include <optional>

#include "generator/model/model.h"
#include "generator/occt/flat_loops.h"

namespace leafstack {

/// Unfolds a part, its bends drawn or its corners sharp: its outside lengths stay what they are,
/// corners become bends of the rule's inside radius. Blank: X along the section, Y along the part.
/// Holes in the flats keep their distance from the nearer outside edge's side. Nothing where the
/// section is not one thickness throughout, an end is not square, or a flat is too short for its
/// bends.
std::optional<FlatProfile> unfolded(const Part& part, const BendRule& rule);

}  // namespace leafstack
