#include "generator/loads/wind/wind_pressure.h"

#include <algorithm>
#include <cmath>

#include "params/catalogue/catalogue.h"

namespace leafstack {

double velocityPressure_Pa(double speed_m_s) {
  return kAirKgM3 / 2 * speed_m_s * speed_m_s;
}

double returnPeriodFactor(double years) {
  constexpr double kShape = 0.2;
  constexpr double kStandardYears = 50;
  const auto term = [](double period) { return 1 - kShape * std::log(-std::log(1 - 1 / period)); };
  return std::sqrt(term(years) / term(kStandardYears));
}

double peakPressure_Pa(double speed_m_s, WindTerrain terrain, double years, double height_m) {
  if (terrain == WindTerrain::kGust) {
    return velocityPressure_Pa(speed_m_s);
  }
  constexpr double kReferenceRoughnessM = 0.05;  // of category II
  constexpr double kTerrainBase = 0.19, kTerrainExponent = 0.07;
  constexpr double kTurbulence = 7;
  const TerrainClass ground = terrainClass(terrain);
  const double height = std::max(height_m, ground.least_height_m);
  const double logarithm = std::log(height / ground.roughness_m);
  const double factor =
      kTerrainBase * std::pow(ground.roughness_m / kReferenceRoughnessM, kTerrainExponent);
  const double mean = speed_m_s * returnPeriodFactor(years) * factor * logarithm;
  return (1 + kTurbulence / logarithm) * velocityPressure_Pa(mean);
}

std::array<double, 4> wallZones(double length_over_height) {
  const auto& rows = windWallRows();
  std::size_t upper = 1;
  while (upper + 1 < rows.size() && rows[upper].length_over_height < length_over_height) {
    ++upper;
  }
  const WindWallRow& low = rows[upper - 1];
  const WindWallRow& high = rows[upper];
  const double share = std::clamp((length_over_height - low.length_over_height) /
                                      (high.length_over_height - low.length_over_height),
                                  0.0, 1.0);
  std::array<double, 4> zones{};
  for (std::size_t i = 0; i < zones.size(); ++i) {
    zones[i] = low.zone[i] + share * (high.zone[i] - low.zone[i]);
  }
  return zones;
}

double coveredShare(double solidity) {
  return 1 - (1 - solidity) * (1 - solidity);
}

double latticeCoefficient(double solidity) {
  constexpr double kLeast = 1.58, kLeastAt = 0.6;
  const double phi = std::clamp(solidity, 0.0, 1.0);
  return phi <= kLeastAt ? kLeast + 1.05 * std::pow(kLeastAt - phi, 1.8)
                         : kLeast + 2.625 * (phi - kLeastAt) * (phi - kLeastAt);
}

double coefficientAt(double solidity, double solid_coefficient) {
  constexpr double kPorous = 0.8, kPorousCoefficient = 1.2;
  const double phi = std::clamp(solidity, 0.0, 1.0);
  if (phi >= kPorous) {
    return kPorousCoefficient +
           (phi - kPorous) / (1 - kPorous) * (solid_coefficient - kPorousCoefficient);
  }
  return phi * latticeCoefficient(phi);
}

double meanZone(const WindWall& wall, double x0_mm, double x1_mm) {
  const double length = wall.to_mm - wall.from_mm;
  const std::array<double, 4> zones = wallZones(length / wall.height_mm);
  if (!wall.free_ends) {
    return zones[3];
  }
  // Coefficient times length from a free end to `s` of it.
  const auto until = [&](double s) {
    double sum = 0, start = 0;
    for (std::size_t i = 0; i < zones.size(); ++i) {
      const double end = i < kZoneEnds.size() ? kZoneEnds[i] * wall.height_mm : s;
      sum += zones[i] * std::max(std::min(s, end) - start, 0.0);
      start = std::max(start, end);
    }
    return sum;
  };
  const double middle = (wall.from_mm + wall.to_mm) / 2;
  double sum = 0;
  if (x0_mm < middle) {
    sum += until(std::min(x1_mm, middle) - wall.from_mm) - until(x0_mm - wall.from_mm);
  }
  if (x1_mm > middle) {
    sum += until(wall.to_mm - std::max(x0_mm, middle)) - until(wall.to_mm - x1_mm);
  }
  return x1_mm > x0_mm ? sum / (x1_mm - x0_mm) : zones[3];
}

}  // namespace leafstack
