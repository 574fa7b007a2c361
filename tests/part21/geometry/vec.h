// Vectors, placements and Gauss-Legendre points of the independent reader.
#pragma once

#include <array>
#include <cmath>

namespace leafstack::part21 {

struct Vec3 {
  double x = 0, y = 0, z = 0;
};

inline Vec3 operator+(Vec3 a, Vec3 b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
inline Vec3 operator-(Vec3 a, Vec3 b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
inline Vec3 operator*(double s, Vec3 a) {
  return {s * a.x, s * a.y, s * a.z};
}
inline double dot(Vec3 a, Vec3 b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
inline Vec3 cross(Vec3 a, Vec3 b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
inline double length(Vec3 a) {
  return std::sqrt(dot(a, a));
}
inline Vec3 unit(Vec3 a) {
  return (1.0 / length(a)) * a;
}

/// A right-handed orthonormal placement.
struct Frame {
  Vec3 origin{}, x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1};

  Vec3 toWorld(Vec3 p) const { return origin + p.x * x + p.y * y + p.z * z; }
  Vec3 toLocal(Vec3 p) const {
    const Vec3 d = p - origin;
    return {dot(d, x), dot(d, y), dot(d, z)};
  }
};

/// 10-point Gauss-Legendre rule on [-1, 1] (Abramowitz & Stegun, table 25.4): exact for polynomials
/// of degree 19; the error for a sine over a quarter turn is below 1e-16.
inline constexpr std::array<double, 5> kGaussNode = {0.148874338981631211, 0.433395394129247191,
                                                     0.679409568299024406, 0.865063366688984511,
                                                     0.973906528517171720};
inline constexpr std::array<double, 5> kGaussWeight = {0.295524224714752870, 0.269266719309996355,
                                                       0.219086362515982044, 0.149451349150580593,
                                                       0.066671344308688138};

/// Calls visit(t, weight) at the rule's points on [from, to], in order; weights carry the sign of
/// to - from.
template <typename Visit>
void forGaussPoints(double from, double to, Visit visit) {
  const double half = (to - from) / 2, middle = (from + to) / 2;
  for (std::size_t i = kGaussNode.size(); i-- > 0;)
    visit(middle - half * kGaussNode[i], half * kGaussWeight[i]);
  for (std::size_t i = 0; i < kGaussNode.size(); ++i)
    visit(middle + half * kGaussNode[i], half * kGaussWeight[i]);
}

}  // namespace leafstack::part21
