#include "generator/layout/figures/spacing.h"

#include <algorithm>
#include <cmath>

#include "generator/geometry/numbers.h"

namespace leafstack {

Spacing evenSpacing(double clear_mm, double bar_mm, double gap_mm) {
  if (clear_mm <= gap_mm) {
    return {};
  }
  Spacing spacing;
  spacing.count =
      static_cast<int>(std::ceil((clear_mm - gap_mm) / (bar_mm + gap_mm) - kLengthEqualMm));
  // A narrow space may not take that many bars side by side.
  spacing.count = std::min(spacing.count, static_cast<int>(clear_mm / bar_mm));
  spacing.gap_mm = (clear_mm - spacing.count * bar_mm) / (spacing.count + 1);
  return spacing;
}

}  // namespace leafstack
