// What a flat profile is made of: closed loops of lines and arcs, folds, the rule of folding.
//
// Frame of a profile: its own, mm, lower left corner of its extents at the origin. A left-hand
// gate's parts are mirrored solids, and so are their profiles.
#pragma once

#include <array>
#include <string>
#include <vector>

namespace leafstack {

/// Corner of a loop; `bulge` is that of the piece to the next corner: the tangent of a quarter of
/// its arc's angle, positive anticlockwise, 0 for a straight piece.
struct ProfileVertex {
  double x_mm = 0, y_mm = 0, bulge = 0;
};

/// Within a loop of corners, positive where it runs anticlockwise.
double signedAreaMm2(const std::vector<ProfileVertex>& vertices);

/// A closed loop: corners, or a full circle.
struct ProfileLoop {
  std::vector<ProfileVertex> vertices;
  bool is_circle = false;
  double x_mm = 0, y_mm = 0, radius_mm = 0;

  /// Positive, whichever way it runs.
  double areaMm2() const;
  /// Along X and Y, arcs of a half turn at most.
  std::array<double, 2> extentMm() const;
};

/// A fold, from edge to edge of the blank; `up` folds towards the viewer.
struct BendLine {
  double x_mm = 0, from_mm = 0, to_mm = 0;  ///< parallel to Y, at X
  double angle_deg = 0, radius_mm = 0;
  bool up = true;
};

struct FlatProfile {
  std::string mark;
  double thickness_mm = 0;
  std::vector<ProfileLoop> loops;  ///< the outline first, anticlockwise; holes clockwise
  std::vector<BendLine> bends;
  double width_mm = 0, height_mm = 0;  ///< overall
  double area_mm2 = 0;                 ///< of the outline less the holes
  bool is_bevelled = false;            ///< an edge leans: the outline is what both faces take up

  /// Smallest hole across, 0 where there is none: a circle's diameter, else the lesser extent.
  double smallestHoleMm() const;
};

/// How plate is folded.
struct BendRule {
  double radius_mm = 0;  ///< inside
  double k_factor = 0;   ///< neutral axis from the inside, as a share of the thickness
};

/// Length of neutral axis in a bend of `angle_deg`.
double bendAllowanceMm(double angle_deg, double thickness_mm, const BendRule& rule);

}  // namespace leafstack
