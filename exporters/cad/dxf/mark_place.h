// Where a part's mark can be engraved: on metal, off every edge.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace leafstack {

/// A loop as chords; closed.
using MarkLoop = std::vector<std::array<double, 2>>;

/// Lower left corner of a text, and its height. It reads along X.
struct MarkPlace {
  double x_mm = 0, y_mm = 0, height_mm = 0;
};

/// Of a text that wide at most.
double markWidth_mm(const std::string& text, double height_mm);

/// `outline` and `holes` in one plane. The largest letters of 5, 4, 3 or 2.5 mm that fit, and of
/// their places the lowest, then the one furthest left, with `off_mm` to every edge; none where
/// nothing fits.
std::optional<MarkPlace> placeMark(const std::string& text, const MarkLoop& outline,
                                   const std::vector<MarkLoop>& holes, double off_mm);

/// Appends the piece from one corner to the next, `bulge` its tangent of a quarter of its angle.
void addChords(MarkLoop& loop, const std::array<double, 2>& from, double bulge,
               const std::array<double, 2>& to);
MarkLoop circleLoop(double x_mm, double y_mm, double radius_mm);

}  // namespace leafstack
