// Evenly spaced bars in a clear space: uprights, pickets, slats.
#pragma once

namespace leafstack {

/// Evenly spaced bars: how many of `bar_mm` leave gaps of at most `gap_mm` in `clear_mm`, and the
/// gap.
struct Spacing {
  int count = 0;
  double gap_mm = 0;
};
Spacing evenSpacing(double clear_mm, double bar_mm, double gap_mm);

}  // namespace leafstack
