// Solid bars and plates that merchants keep.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

namespace leafstack {

/// A flat, or a square bar where both sizes are alike.
struct SolidBar {
  double larger_mm = 0, smaller_mm = 0;
};
/// The lightest that a block of this cross-section is sawn or milled from; none where the table has
/// none so large.
std::optional<SolidBar> barFor(double one_mm, double other_mm);

/// Plates and under them shims, of thicknesses that merchants keep, that lie on each other to this
/// height, thickest first; less by up to kLeastShim_mm.
std::vector<double> platesToHeight_mm(double height_mm);

inline constexpr double kLeastShim_mm = 0.05;
/// Thinner than any plate of the table: strip that shims are cut from.
bool isShim(double thickness_mm);

/// The numbers after a section's first word, as far as an "x" goes on: "RHS 100x50x3" has 3.
std::vector<double> sizesIn(std::string_view section);

/// The least size in a section's words, of what is solid: "plate 120x27x8", "flat 35x15",
/// "angle 40x40x4", "round 20, ..."; none for other words.
std::optional<double> solidThickness_mm(std::string_view section);

/// The thinnest plate that is no thinner, or 0 where the table has none.
double plateNoThinner_mm(double least_mm);

/// The thickest plate that is no thicker, or the thinnest there is.
double plateNoThicker_mm(double most_mm);

}  // namespace leafstack
