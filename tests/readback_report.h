// report.json as far as the read-back compares it.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace leafstack::readback {

struct ReportPart {
  std::string mark, name;
  int quantity = 0;
  std::map<int, int> per_panel;
  double volume_mm3 = 0, area_mm2 = 0, density_kg_m3 = 0, mass_kg = 0, length_mm = 0;
  std::vector<std::string> files;
};

struct Report {
  std::map<std::string, ReportPart> parts;  ///< by mark
  std::vector<double> travel_mm;            ///< by panel, 0 for what does not move
};

/// Reads FOLDER/report.json. What is missing, of the wrong type or contradictory is appended to
/// `problems`.
Report readReport(const std::string& folder, std::vector<std::string>& problems);

}  // namespace leafstack::readback
