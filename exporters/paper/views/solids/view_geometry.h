// Points, intervals and arcs that views are made of.
#pragma once

#include <cmath>
#include <numbers>
#include <vector>

#include "generator/geometry/polygon.h"
#include "generator/geometry/vec.h"

namespace leafstack {

inline constexpr double kTurnRad = 2 * std::numbers::pi;

struct Interval {
  double from = 0, to = 0;
};

/// A circle, or an ellipse, in space: centre + p cos(angle) + q sin(angle).
struct Ring {
  Vec3 centre{}, p{}, q{};

  Vec3 at(double angle) const { return plus(plus(centre, p, std::cos(angle)), q, std::sin(angle)); }
  Vec3 along(double angle) const { return plus(plus({}, p, -std::sin(angle)), q, std::cos(angle)); }
  double greatestRadius() const { return std::sqrt(dot(p, p) + dot(q, q)); }
};

/// A straight piece, or an arc of a ring.
struct SpacePiece {
  bool is_arc = false;
  Vec3 from{}, to{};  ///< straight pieces
  Ring ring;          ///< arcs
  Interval angles;    ///< of the ring; from < to, at most a turn apart

  static SpacePiece straight(const Vec3& from, const Vec3& to) { return {false, from, to, {}, {}}; }
  static SpacePiece arc(const Ring& ring, Interval angles) { return {true, {}, {}, ring, angles}; }
};

inline Vec3 unit(const Vec3& v) {
  const double length = norm(v);
  return length > 0 ? Vec3{v[0] / length, v[1] / length, v[2] / length} : v;
}

/// Equal steps that keep the chords of a turn within `sagitta_mm` of an arc of `radius_mm`.
inline int chordSteps(double radius_mm, double turn_rad, double sagitta_mm) {
  constexpr double kWidestRad = std::numbers::pi / 4;
  const double cosine = 1 - sagitta_mm / std::fmax(radius_mm, sagitta_mm);
  const double step = std::fmin(2 * std::acos(cosine), kWidestRad);
  return static_cast<int>(std::fmax(1, std::ceil(std::abs(turn_rad) / step)));
}

}  // namespace leafstack
