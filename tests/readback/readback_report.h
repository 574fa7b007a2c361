// report.json as far as the read-back compares it.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "tests/part21/geometry/vec.h"

namespace leafstack::readback {

struct ReportPart {
  std::string mark, name;
  int quantity = 0;
  std::map<int, int> per_panel;
  double volume_mm3 = 0, area_mm2 = 0, density_kg_m3 = 0, mass_kg = 0, length_mm = 0;
  bool mass_is_suppliers = false;
  std::vector<std::string> files;
  part21::Frame file_frame;  ///< of its own files, in its product's in the gate
};

/// From closed to open: turned about the origin in the XZ plane, +X towards +Z, then shifted.
struct OpenMotion {
  double x_mm = 0, z_mm = 0, turn_rad = 0;
};

struct Report {
  std::map<std::string, ReportPart> parts;  ///< by mark
  std::vector<OpenMotion> open;             ///< by panel; the first is what does not move
  double most_float_mm = 0;                 ///< of a guide block, out of its place in its panel
  double rope_error_mm = 0;                 ///< by how much ropes would have to change their length
  double most_turn_rad = 0;                 ///< of any panel between closed and open
};

/// Reads FOLDER/report.json. What is missing, of the wrong type or contradictory is appended to
/// `problems`.
Report readReport(const std::string& folder, std::vector<std::string>& problems);

}  // namespace leafstack::readback
