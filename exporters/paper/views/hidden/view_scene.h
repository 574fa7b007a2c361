// All solids of one view together: what projected() and cutView() share.
#pragma once

#include <functional>

#include "exporters/paper/views/hidden/stretches.h"
#include "exporters/paper/views/solids/picture_view.h"
#include "exporters/paper/views/solids/seen_solid.h"
#include "exporters/paper/views/solids/view_types.h"

namespace leafstack {

/// How deep a solid is cut: nothing for one that is whole; -infinity for one that is left out.
using CutDepth = std::function<std::optional<double>(int solid)>;

/// Visible stretches, and hidden ones where asked for, of all solids together, and of the
/// options' loose lines.
std::vector<DrawnStretch> stretchesSeen(const std::vector<PlacedViewSolid>& solids,
                                        const PictureView& view, const CutDepth& cut_depth,
                                        const ViewOptions& options = {});

/// Curves without doubles, those shorter than asked left out.
std::vector<ViewCurve> finished(const std::vector<DrawnStretch>& stretches,
                                const ViewOptions& options);

}  // namespace leafstack
