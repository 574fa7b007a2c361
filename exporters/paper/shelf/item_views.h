// One figure of the shelf in two views, a letter at each size.
#pragma once

#include <array>
#include <map>
#include <string>

#include "exporters/paper/blocks/gate_views.h"
#include "generator/shelf/shelf_figures.h"

namespace leafstack {

/// Of lengths and angles in the views and in the table beside them, at most: what is found is true
/// to a ten-thousandth.
inline constexpr int kShelfDecimals = 3;

/// "A", "B", ... "Z", "AA" by row.
using Letters = std::map<std::string_view, std::string>;  ///< by pointer

/// What stands at a size: "A = ", "A/2 = ", "2 A = ".
std::string letterWithShare(const std::string& letter, double share);

/// The two views of three, square to each other, in which the figure's sizes are plainest.
std::array<ViewBlock, 2> itemViews(const ShelfFigure& figure, const GateViews& views,
                                   const Letters& letters);

}  // namespace leafstack
