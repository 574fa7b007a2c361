// Welds as ISO 2553 (system A) draws them: reference lines with symbols, at the end of one arrow.
//
// Frame: paper mm. The arrow ends at the left end of the nearest reference line; further ones lie
// beyond it, away from the view.
#pragma once

#include <vector>

#include "exporters/paper/blocks/view_requests.h"
#include "exporters/paper/sheet/paper.h"

namespace leafstack {

/// Of all reference lines, with their words.
double signsWidthMm(const std::vector<WeldSign>& signs);

/// What they take up where the arrow ends at `at`; `outward` is +1 where away is up, else -1.
PaperBox signsBox(const std::vector<WeldSign>& signs, const PaperPoint& at, double outward);

void addSigns(Sheet& sheet, const std::vector<WeldSign>& signs, const PaperPoint& at,
              double outward);

/// Filled, pointing at `tip` from `from`.
void addArrowHead(Sheet& sheet, const PaperPoint& tip, const PaperPoint& from);

}  // namespace leafstack
