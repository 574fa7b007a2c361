// One rope as a path and as a solid.
//
// Frame: that of the panel that carries its pulley: X along its rail from the leading end, Z square
// up from the rail's underside.
#pragma once

#include <TopoDS_Shape.hxx>
#include <cmath>
#include <vector>

#include "generator/model/builder.h"

namespace leafstack {

/// Where a rope's straight strands end.
struct RopePath {
  Point2 front_end, rear_end;  ///< X and Z
  double pulley_mm = 0;
  double pitch_radius_mm = 0, radius_mm = 0;
  double middle_y_mm = 0, height_mm = 0;
  bool opening = true;

  double frontMm() const { return std::hypot(front_end.a - pulley_mm, front_end.b - height_mm); }
  double rearMm() const { return std::hypot(rear_end.a - pulley_mm, rear_end.b - height_mm); }
};

/// The path of `run` when the drive has travelled `drive_mm`.
RopePath ropePathAt(const GateSpec& spec, const Layout& layout, const RopeRun& run,
                    double drive_mm);

/// All that a rope's two solids follow from.
std::vector<double> figuresOf(const RopePath& closed, const RopePath& open);

/// Strand, half turn and strand as one solid whose faces share their edges.
TopoDS_Shape ropeSolid(const RopePath& path);

Bounds ropeBounds(const RopePath& path);

}  // namespace leafstack
