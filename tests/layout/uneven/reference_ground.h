// An independent natural spline to judge lines of the ground by, random surveys and panels.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include "generator/layout/travel/panel_travel.h"
#include "tests/support/dice.h"

namespace leafstack::ground_reference {

// Rounding of coordinates of tens of metres, after a dozen operations.
inline constexpr double kRoundingMm = 1e-8;
inline constexpr double kRoundingRad = 1e-11;
// What an independent solver may differ by.
inline constexpr double kAgreedMm = 1e-3;
inline constexpr double kWheelOffMm = 65;

using Points = std::vector<std::array<double, 2>>;
using Place = std::array<double, 2>;

/// Gaussian elimination with the largest pivot of each column; rows end with the right side.
inline std::vector<double> solved(std::vector<std::vector<double>> rows) {
  const std::size_t count = rows.size();
  for (std::size_t c = 0; c < count; ++c) {
    const auto largest = std::max_element(
        rows.begin() + static_cast<std::ptrdiff_t>(c), rows.end(),
        [&](const auto& a, const auto& b) { return std::abs(a[c]) < std::abs(b[c]); });
    std::swap(rows[c], *largest);
    for (std::size_t r = 0; r < count; ++r) {
      const double factor = r == c ? 0 : rows[r][c] / rows[c][c];
      for (std::size_t i = c; factor != 0 && i <= count; ++i) {
        rows[r][i] -= factor * rows[c][i];
      }
    }
  }
  std::vector<double> values;
  for (std::size_t c = 0; c < count; ++c) {
    values.push_back(rows[c][count] / rows[c][c]);
  }
  return values;
}

/// The natural spline by its definition: four unknowns for every cubic, in metres from its start;
/// heights at both ends of each, equal slopes and bends where two meet, no bend at either end.
class ReferenceGround {
 public:
  explicit ReferenceGround(const Points& points) : points_(points) {
    const std::size_t cubics = points.size() - 1;
    std::vector<std::vector<double>> rows;
    const auto addRow = [&](std::size_t cubic, const std::array<double, 8>& factors, double value) {
      std::vector<double> row(4 * cubics + 1, 0.0);
      for (std::size_t i = 0; i < 8 && 4 * cubic + i < 4 * cubics; ++i) {
        row[4 * cubic + i] = factors[i];
      }
      row.back() = value;
      rows.push_back(row);
    };
    addRow(0, {0, 0, 2}, 0);
    for (std::size_t i = 0; i < cubics; ++i) {
      const double t = lengthM(i);
      addRow(i, {1}, points[i][1]);
      addRow(i, {1, t, t * t, t * t * t}, points[i + 1][1]);
      if (i + 1 < cubics) {
        addRow(i, {0, 1, 2 * t, 3 * t * t, 0, -1}, 0);
        addRow(i, {0, 0, 2, 6 * t, 0, 0, -2}, 0);
      } else {
        addRow(i, {0, 0, 2, 6 * t}, 0);
      }
    }
    factors_ = solved(rows);
  }

  double height(double x) const { return at(x)[0]; }
  double slope(double x) const { return at(x)[1]; }

 private:
  double lengthM(std::size_t i) const { return (points_[i + 1][0] - points_[i][0]) / 1000; }

  Place at(double x) const {
    const double inside = std::clamp(x, points_.front()[0], points_.back()[0]);
    std::size_t i = 0;
    while (i + 2 < points_.size() && points_[i + 1][0] < inside) {
      ++i;
    }
    const double* f = &factors_[4 * i];
    const double t = (inside - points_[i][0]) / 1000;
    const double slope = (f[1] + t * (2 * f[2] + t * 3 * f[3])) / 1000;
    return {f[0] + t * (f[1] + t * (f[2] + t * f[3])) + slope * (x - inside), slope};
  }

  Points points_;
  std::vector<double> factors_;
};

inline Points randomSurvey(Dice& dice) {
  Points points{{dice.in(-2000, 0), dice.in(-100, 100)}};
  const int count = 5 + dice.below(8);
  while (static_cast<int>(points.size()) < count) {
    const double length = dice.in(300, 1500);
    points.push_back({points.back()[0] + length, points.back()[1] + length * dice.in(-0.1, 0.1)});
  }
  return points;
}

inline PanelOnWheels randomPanel(Dice& dice) {
  return {dice.in(-500, 500), dice.in(600, 4000), 1.0 + dice.below(4), 1};
}

}  // namespace leafstack::ground_reference
