// What a wrap-around template is drawn of. Frame: that of the template (wrap_template.h).
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace leafstack {

/// How far a chord may be from the curve it stands for, where that is neither straight nor round:
/// a mitre round a corner. A twentieth of a scriber's line.
inline constexpr double kWrapCurveMm = 0.005;

/// `bulge` is that of the piece to the next point: tangent of a quarter of the arc's angle,
/// positive anticlockwise, 0 for a straight piece.
struct WrapPoint {
  double x_mm = 0, y_mm = 0, bulge = 0;
};

struct WrapCircle {
  double x_mm = 0, y_mm = 0, radius_mm = 0;
};

struct WrapCurve {
  std::vector<WrapPoint> points;  ///< empty for a whole circle
  bool is_closed = false;
  std::optional<WrapCircle> circle;
};

/// The flat of a wall; the wall with the seam stands first and last, in two parts.
struct WrapWall {
  std::string name;  ///< "front", "rear", "underside", "top", "leading side", "trailing side"
  double from_mm = 0, to_mm = 0;
};

}  // namespace leafstack
