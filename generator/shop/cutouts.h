// Cut-outs of tubes, read from their solids: for a saw line, a mill or a tube laser that is
// programmed by hand.
#pragma once

#include <string>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

/// One row of tables/cutouts.csv: a hole through one wall of a tube, in the frame of the tube's own
/// files (part_files.h): X along it from 0.
struct CutoutRow {
  std::string mark, name, file;
  int quantity = 0;     ///< of the tube
  std::string wall;     ///< in the gate: "front", "rear", "underside", "top", "leading side" ...
  std::string outward;  ///< which side that is in the file: "low Y", "high Y", "low Z", "high Z"
  std::string kind;     ///< "round", "slot", "rectangle"
  double x_mm = 0;      ///< of its centre
  /// The same from where the sheets, cards and the cut list count: of a raked rail the leading
  /// end's lower corner, which lies up to its rise from the file's 0.
  double from_end_mm = 0;
  double across_mm = 0;  ///< of its centre: Z in the walls of low and high Y, else Y
  double length_mm = 0;  ///< along X; a round one's diameter
  double width_mm = 0;   ///< across; a round one's diameter
  double corner_mm = 0;  ///< radius of a slot's ends or a rectangle's corners
  std::string what;      ///< what it is for, where known
};

/// Rows in the order of marks, then walls, then X. Throws GeometryError (wall_holes.h).
std::vector<CutoutRow> cutoutRows(const Model& model);

}  // namespace leafstack
