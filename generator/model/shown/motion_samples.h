// The bodies' motion as a table to be read by straight lines between its rows: what a program that
// knows neither ground nor wheels needs to move the gate.
#pragma once

#include <array>
#include <vector>

#include "generator/model/model.h"

namespace leafstack {

/// Where a body is: its pivot's shift from closed, and how far it has turned (+X towards +Z).
struct PoseRow {
  double drive_mm = 0;
  double x_mm = 0, z_mm = 0;
  double turn_rad = 0;
};

/// Frame: the model's. Straight bodies have two rows, closed and open, and are exact.
struct SampledBody {
  std::array<double, 2> pivot_mm{};  ///< X and Z at closed
  std::vector<PoseRow> rows;         ///< closed to open
};

struct SampledMotion {
  std::vector<SampledBody> bodies;  ///< by Model::travels
  /// Proved: read by straight lines, no point of any part is further from its place, at no
  /// position.
  double within_mm = 0;
};

/// As many rows as it takes to keep within kSamplesWithinMm, at most kMostSampleRows.
inline constexpr double kSamplesWithinMm = 0.05;
inline constexpr int kMostSampleRows = 1025;
SampledMotion sampleMotion(const Model& model);

}  // namespace leafstack
