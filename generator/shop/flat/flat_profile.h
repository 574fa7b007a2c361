// Flat profiles of plates, sheets and folded parts: exact loops of lines and arcs, from the solids.
//
// Properties (tests/shop/flat_profile_test.cpp): P1 each loop is closed, its corners no arc's
// centre lost: area within the loops equals the face's to 1e-9; P2 holes lie inside the outline; P3
// for a part that is a plain plate, area x thickness is its volume; P4 a folded part's blank has
// the bend allowance angle x (radius + k x thickness) at each bend.
#pragma once

#include <optional>

#include "generator/model/model.h"
#include "generator/occt/flat_loops.h"

namespace leafstack {

/// Whether a part belongs on a flat-bed machine at all: plates, sheets, folded channels.
bool isFlatWork(const Part& part);

/// Its profile. A rectangle with bevelled edges gives the blank that both faces lie within. Nothing
/// for a part that is not flat work, or that no single flat cut gives: steps (see its STEP file).
/// Throws GeometryError for a loop that is neither lines nor arcs.
std::optional<FlatProfile> flatProfileOf(const Part& part, const BendRule& rule);

}  // namespace leafstack
