// A detail: what of a view lies in a window. View mm.
#pragma once

#include <vector>

#include "exporters/paper/sheet/paper.h"

namespace leafstack {

/// Arcs as chords no further than this from them: below a line's width at any scale used.
inline constexpr double kChordMm = 0.02;

/// Corners only.
std::vector<PathVertex> withoutArcs(const std::vector<PathVertex>& vertices, bool is_closed);

/// The stretches of a line within the window; arcs whole where they are within it.
std::vector<std::vector<PathVertex>> stretchesWithin(const std::vector<PathVertex>& vertices,
                                                     bool is_closed, const PaperBox& window);

/// A loop's share of the window, without arcs; empty where there is none.
std::vector<PathVertex> loopWithin(const std::vector<PathVertex>& loop, const PaperBox& window);

}  // namespace leafstack
