// Holes in the walls of a hollow section, read from its solid.
//
// Frame: the part's: X along the tube from its leading corner (towards -X in the parts of a
// left-hand gate), Y across from its front face, Z up from its underside.
#pragma once

#include <string>
#include <vector>

#include "generator/model/model.h"
#include "generator/occt/solids/tube.h"

namespace leafstack {

/// A hole of round ends, round corners or a full circle.
struct TubeHole {
  double x_mm = 0, across_mm = 0;      ///< centre; across: Z in front and rear, Y below and on top
  double length_mm = 0, width_mm = 0;  ///< along X, and across; a circle's diameter twice
  bool is_round = false;
  double corner_mm = 0;  ///< of a slot

  /// "dia 12.4", "116x24 R12".
  std::string sizeText() const;
};

/// What a hole of a bottom rail is for: "axle", "wheel pocket" ..., by its wall and size.
std::string purposeOf(const HardwareSpec& shelf, const TubeHole& hole, Wall wall);

/// Every hole in the outer face of one wall, nearest to the leading end first. Throws GeometryError
/// for a hole with edges other than lines and arcs.
std::vector<TubeHole> holesIn(const Part& tube, Wall wall);

}  // namespace leafstack
