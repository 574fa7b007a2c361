// Solid bars and plates that merchants keep.
#pragma once

#include <optional>
#include <vector>

namespace leafstack {

/// A flat, or a square bar where both sizes are alike.
struct SolidBar {
  double larger_mm = 0, smaller_mm = 0;
};
/// The lightest that a block of this cross-section is sawn or milled from; none where the table has
/// none so large.
std::optional<SolidBar> barFor(double one_mm, double other_mm);

/// Plates that lie on each other to this height, mm, thickest first; where those that merchants
/// keep leave a rest, it is the last one, a shim.
std::vector<double> platesToHeight_mm(double height_mm);

/// The thickest plate that is no thicker, or the thinnest there is.
double plateNoThicker_mm(double most_mm);

}  // namespace leafstack
