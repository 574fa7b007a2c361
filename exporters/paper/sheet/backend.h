// What the backends of a drawing sheet share.
#pragma once

#include <string_view>
#include <vector>

#include "exporters/paper/sheet/sheet.h"

namespace leafstack {

/// Every role, in the order in which backends draw them: fine lines below wide ones.
inline constexpr LineRole kLineRoles[] = {
    LineRole::kHatch,   LineRole::kTable, LineRole::kHidden,  LineRole::kCentre,
    LineRole::kPhantom, LineRole::kFine,  LineRole::kCutting, LineRole::kRope,
    LineRole::kGround,  LineRole::kFrame, LineRole::kVisible, LineRole::kDimension};

/// One word in lower case: "visible".
std::string_view nameOf(LineRole role);

/// All strokes of one role, those of the dimensions among them. Points into `sheet` and `drawn`.
std::vector<const Path*> strokesOf(LineRole role, const Sheet& sheet,
                                   const std::vector<DrawnDimension>& drawn);

std::vector<DrawnDimension> drawnDimensions(const Sheet& sheet);

/// The same pattern for a pen whose round ends lengthen every stroke by its width.
std::vector<double> patternWithRoundEnds(LineRole role, double width_mm);

/// A full circle drawn as two half turns: its centre and radius; else a radius of 0.
struct RoundPath {
  PaperPoint centre;
  double radius_mm = 0;
};
RoundPath circleOf(const Path& path);

/// Left end of a line of text.
PaperPoint textStart(const Lettering& lettering);

/// Throws ExportError when a coordinate, a size or an angle is not finite, when a path has fewer
/// than two corners, when lettering has no height, or a sheet or a scale no size.
void requireDrawable(const Sheet& sheet);

}  // namespace leafstack
