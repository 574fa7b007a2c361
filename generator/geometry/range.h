// Arithmetic with ranges: the result holds every value that operands within theirs can give.
//
// Ends are rounded as doubles are, not outwards: who builds a guarantee on them leaves room for
// that.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>
#include <limits>

#include "generator/geometry/numbers.h"

namespace leafstack {

/// All values a quantity takes lie from `low` to `high`.
struct Range {
  double low = 0, high = 0;
};

}  // namespace leafstack

namespace leafstack::ranges {

/// Two ranges as the components of a vector in the XZ plane.
using Range2 = std::array<Range, 2>;

inline Range hull(std::initializer_list<double> values) {
  const auto [low, high] = std::minmax(values);
  return {low, high};
}

inline Range only(double value) {
  return {value, value};
}

inline double greatestSize(const Range& a) {
  return std::max(std::abs(a.low), std::abs(a.high));
}

inline Range widened(const Range& a, double by) {
  return {a.low - by, a.high + by};
}

inline Range operator+(const Range& a, const Range& b) {
  return {a.low + b.low, a.high + b.high};
}

inline Range operator-(const Range& a, const Range& b) {
  return {a.low - b.high, a.high - b.low};
}

inline Range operator*(double factor, const Range& a) {
  return factor < 0 ? Range{factor * a.high, factor * a.low}
                    : Range{factor * a.low, factor * a.high};
}

inline Range operator*(const Range& a, const Range& b) {
  return hull({a.low * b.low, a.low * b.high, a.high * b.low, a.high * b.high});
}

/// Without bounds where the divisor may be 0.
inline Range operator/(const Range& a, const Range& b) {
  constexpr double kInfinite = std::numeric_limits<double>::infinity();
  if (b.low <= 0 && b.high >= 0) {
    return {-kInfinite, kInfinite};
  }
  return hull({a.low / b.low, a.low / b.high, a.high / b.low, a.high / b.high});
}

/// Values common to both, which must meet.
inline Range common(const Range& a, const Range& b) {
  return {std::max(a.low, b.low), std::min(a.high, b.high)};
}

inline Range2 operator+(const Range2& a, const Range2& b) {
  return {a[0] + b[0], a[1] + b[1]};
}

inline Range2 operator-(const Range2& a, const Range2& b) {
  return {a[0] - b[0], a[1] - b[1]};
}

inline Range2 operator*(const Range& factor, const Range2& a) {
  return {factor * a[0], factor * a[1]};
}

inline Range dot(const Range2& a, const Range2& b) {
  return a[0] * b[0] + a[1] * b[1];
}

/// A quarter turn on, +X towards +Z.
inline Range2 quarterTurned(const Range2& a) {
  return {-1.0 * a[1], a[0]};
}

/// Cosine and sine of angles in radians; tight within a quarter turn of 0, -1 to 1 beyond.
struct Turn {
  Range cos = {-1, 1}, sin = {-1, 1};
};

inline Turn turnBy(const Range& angle_rad) {
  if (!(angle_rad.low >= -kQuarter && angle_rad.high <= kQuarter)) {
    return {};
  }
  Range cosine = hull({std::cos(angle_rad.low), std::cos(angle_rad.high)});
  if (angle_rad.low <= 0 && angle_rad.high >= 0) {
    cosine.high = 1;
  }
  return {cosine, {std::sin(angle_rad.low), std::sin(angle_rad.high)}};
}

inline Range2 turned(const Turn& turn, const std::array<double, 2>& v) {
  return {v[0] * turn.cos - v[1] * turn.sin, v[0] * turn.sin + v[1] * turn.cos};
}

/// Values of a function over a stretch of `length`, 0 or more, from its values at both ends and the
/// range of its derivative: the steepest ways from both ends meet at the furthest it can get.
inline Range between(double at_start, double at_end, const Range& rate, double length) {
  Range values = hull({at_start, at_end});
  if (rate.low < 0 && rate.high > 0) {
    const double width = rate.high - rate.low;
    const double rise = at_end - at_start;
    const double to_top = std::clamp((rise - rate.low * length) / width, 0.0, length);
    const double to_bottom = std::clamp((rate.high * length - rise) / width, 0.0, length);
    values.high = std::max(at_start + rate.high * to_top, values.high);
    values.low = std::min(at_start + rate.low * to_bottom, values.low);
  }
  return values;
}

}  // namespace leafstack::ranges
