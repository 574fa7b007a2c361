#include "generator/geometry/moving/separation.h"

#include <algorithm>

namespace leafstack {
namespace {

constexpr int kMostSteps = 100;
// Nearer than this to the origin is contact: rounding of coordinates of tens of metres.
constexpr double kAtOriginMm = 1e-9;

/// A point of the difference b - a, and what it came from.
struct Support {
  Vec3 difference{}, on_a{}, on_b{};
  double at = 0;
};

/// The difference of two moving hulls, by its farthest point in a direction.
class Difference {
 public:
  Difference(const MovingHull& a, const MovingHull& b, const FreeShift& free)
      : a_(a), b_(b), free_(free), ends_(a.stands && b.stands ? 1 : 2) {}

  Support farthest(const Vec3& direction) const {
    int on_a = extreme(a_.points[0], direction, -1);
    int on_b = extreme(b_.points[0], direction, 1);
    int end = 0;
    if (ends_ == 2) {
      const int late_a = a_.stands ? on_a : extreme(a_.points[1], direction, -1);
      const int late_b = b_.stands ? on_b : extreme(b_.points[1], direction, 1);
      const Vec3 early = minus(b_.points[0][on_b], a_.points[0][on_a]);
      const Vec3 late = minus(pointsAt(b_, 1)[late_b], pointsAt(a_, 1)[late_a]);
      if (dot(direction, late) > dot(direction, early)) {
        end = 1;
        on_a = late_a;
        on_b = late_b;
      }
    }
    Support corner{{}, pointsAt(a_, end)[on_a], pointsAt(b_, end)[on_b], double(end)};
    corner.on_b = plus(corner.on_b, farthestPlay(direction));
    corner.difference = minus(corner.on_b, corner.on_a);
    return corner;
  }

 private:
  static const std::array<Vec3, 3>& pointsAt(const MovingHull& hull, int end) {
    return hull.points[hull.stands ? 0 : end];
  }

  Vec3 farthestPlay(const Vec3& direction) const {
    const Vec3& half = free_.half_mm;
    const double c = free_.cos;
    const double s = free_.sin;
    const double along = c * direction[0] + s * direction[2];
    const double up = c * direction[2] - s * direction[0];
    const double x = along < 0 ? -half[0] : half[0];
    const double z = up < 0 ? -half[2] : half[2];
    return {c * x - s * z, direction[1] < 0 ? -half[1] : half[1], s * x + c * z};
  }

  static int extreme(const std::array<Vec3, 3>& points, const Vec3& direction, double sign) {
    const double first = sign * dot(points[0], direction);
    const double second = sign * dot(points[1], direction);
    const double third = sign * dot(points[2], direction);
    if (first >= second) {
      return first >= third ? 0 : 2;
    }
    return second >= third ? 1 : 2;
  }

  const MovingHull& a_;
  const MovingHull& b_;
  const FreeShift& free_;
  int ends_;
};

/// Weights of the point of a face nearest the origin; 0 for corners it does not need.
using Weights = std::array<double, 3>;

Weights nearestOnEdge(const Vec3& a, const Vec3& b) {
  const Vec3 edge = minus(b, a);
  const double length = dot(edge, edge);
  const double share = length > 0 ? std::clamp(-dot(a, edge) / length, 0.0, 1.0) : 0;
  return {1 - share, share, 0};
}

/// Ericson, Real-Time Collision Detection, 5.1.5, with the origin for the point.
Weights nearestOnFace(const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 ab = minus(b, a);
  const Vec3 ac = minus(c, a);
  const double d1 = -dot(ab, a);
  const double d2 = -dot(ac, a);
  if (d1 <= 0 && d2 <= 0) {
    return {1, 0, 0};
  }
  const double d3 = -dot(ab, b);
  const double d4 = -dot(ac, b);
  if (d3 >= 0 && d4 <= d3) {
    return {0, 1, 0};
  }
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) {
    const double v = d1 / (d1 - d3);
    return {1 - v, v, 0};
  }
  const double d5 = -dot(ab, c);
  const double d6 = -dot(ac, c);
  if (d6 >= 0 && d5 <= d6) {
    return {0, 0, 1};
  }
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) {
    const double w = d2 / (d2 - d6);
    return {1 - w, 0, w};
  }
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    const double w = (d4 - d3) / ((d4 - d3) + (d5 - d6));
    return {0, 1 - w, w};
  }
  const double whole = va + vb + vc;
  return {va / whole, vb / whole, vc / whole};
}

/// Up to four corners with the weights of the point nearest the origin.
class Simplex {
 public:
  void add(const Support& corner) { corners_[count_++] = corner; }
  bool has(const Support& corner) const {
    for (int i = 0; i < count_; ++i) {
      if (corners_[i].difference == corner.difference) {
        return true;
      }
    }
    return false;
  }
  bool isFull() const { return count_ == 4; }

  /// Reduces the simplex to the face that holds the point nearest the origin; returns that point.
  Vec3 reduce() {
    switch (count_) {
      case 1:
        weights_[0] = 1;
        return point(0);
      case 2:
        return keep({0, 1, 0}, nearestOnEdge(point(0), point(1)));
      case 3:
        return keep({0, 1, 2}, nearestOnFace(point(0), point(1), point(2)));
      default:
        return reduceFour();
    }
  }

  void witness(Separation& found) const {
    found.on_a = found.on_b = {0, 0, 0};
    found.at = 0;
    for (int i = 0; i < count_; ++i) {
      found.on_a = plus(found.on_a, corners_[i].on_a, weights_[i]);
      found.on_b = plus(found.on_b, corners_[i].on_b, weights_[i]);
      found.at += weights_[i] * corners_[i].at;
    }
  }

 private:
  const Vec3& point(int i) const { return corners_[i].difference; }

  /// Keeps the corners with weight; indices of those ascend, so none is overwritten too soon.
  Vec3 keep(const std::array<int, 3>& face, const Weights& weights) {
    Vec3 nearest{};
    int kept = 0;
    for (int i = 0; i < 3; ++i) {
      if (weights[i] > 0) {
        nearest = plus(nearest, point(face[i]), weights[i]);
        corners_[kept] = corners_[face[i]];
        weights_[kept++] = weights[i];
      }
    }
    count_ = kept;
    return kept == 3 ? footOnPlane() : nearest;
  }

  /// The origin's foot on the plane of the three corners. For a face thousands of times longer than
  /// wide its weights hold few digits, its normal nearly all.
  Vec3 footOnPlane() const {
    const Vec3 normal = cross(minus(point(1), point(0)), minus(point(2), point(0)));
    const double squared = dot(normal, normal);
    return squared > 0 ? plus({0, 0, 0}, normal, dot(normal, point(0)) / squared) : point(0);
  }

  Vec3 reduceFour() {
    if (holdsOrigin()) {
      return {0, 0, 0};
    }
    constexpr std::array<int, 3> kFaces[] = {{0, 1, 2}, {0, 1, 3}, {0, 2, 3}, {1, 2, 3}};
    double least = std::numeric_limits<double>::infinity();
    const std::array<int, 3>* best = &kFaces[0];
    Weights best_weights{};
    for (const auto& face : kFaces) {
      const Vec3& a = point(face[0]);
      const Vec3& b = point(face[1]);
      const Vec3& c = point(face[2]);
      const Weights weights = nearestOnFace(a, b, c);
      const Vec3 nearest = plus(plus(plus({}, a, weights[0]), b, weights[1]), c, weights[2]);
      const double squared = dot(nearest, nearest);
      if (squared < least) {
        least = squared;
        best = &face;
        best_weights = weights;
      }
    }
    return keep(*best, best_weights);
  }

  bool holdsOrigin() {
    const Vec3 a = minus(point(1), point(0));
    const Vec3 b = minus(point(2), point(0));
    const Vec3 c = minus(point(3), point(0));
    const Vec3 o = minus({0, 0, 0}, point(0));
    const Vec3 normal = cross(a, b);
    const double volume = dot(normal, c);
    // A tetrahedron flatter than the rounding of its corners holds nothing.
    if (std::abs(volume) <= kAtOriginMm * norm(normal)) {
      return false;
    }
    const double second = dot(cross(o, b), c) / volume;
    const double third = dot(cross(a, o), c) / volume;
    const double fourth = dot(normal, o) / volume;
    const double first = 1 - second - third - fourth;
    if (first < 0 || second < 0 || third < 0 || fourth < 0) {
      return false;
    }
    weights_ = {first, second, third, fourth};
    return true;
  }

  std::array<Support, 4> corners_{};
  std::array<double, 4> weights_{};
  int count_ = 0;
};

}  // namespace

Separation leastSeparation(const MovingHull& a, const MovingHull& b, const FreeShift& free,
                           double enough_mm, double little_mm) {
  const Difference difference(a, b, free);
  Simplex simplex;
  simplex.add(difference.farthest(minus(a.points[0][0], b.points[0][0])));
  Separation found;
  for (int step = 0; step < kMostSteps; ++step) {
    const Vec3 nearest = simplex.reduce();
    const double distance = norm(nearest);
    if (distance < found.distance_mm) {
      found.distance_mm = distance;
      simplex.witness(found);
    }
    if (distance <= kAtOriginMm) {
      found.distance_mm = found.at_least_mm = 0;
      break;
    }
    const Support corner = difference.farthest(minus({0, 0, 0}, nearest));
    found.at_least_mm =
        std::max(found.at_least_mm, dot(nearest, corner.difference) / distance - kAtOriginMm);
    if (found.at_least_mm > enough_mm || found.distance_mm < little_mm ||
        found.distance_mm - found.at_least_mm < kSeparationMm || simplex.has(corner) ||
        simplex.isFull()) {
      break;
    }
    simplex.add(corner);
  }
  return found;
}

namespace {

struct Extent {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
};

Extent extentAlong(const MovingHull& hull, const Vec3& direction) {
  Extent extent;
  for (int end = 0; end < (hull.stands ? 1 : 2); ++end) {
    for (const Vec3& point : hull.points[end]) {
      const double at = dot(point, direction);
      extent.low = std::min(extent.low, at);
      extent.high = std::max(extent.high, at);
    }
  }
  return extent;
}

}  // namespace

bool areApartAlongNormals(const MovingHull& a, const MovingHull& b, double by_mm) {
  for (const MovingHull* const hull : {&a, &b}) {
    const auto& points = hull->points[0];
    const Vec3 normal = cross(minus(points[1], points[0]), minus(points[2], points[0]));
    const Extent one = extentAlong(a, normal);
    const Extent other = extentAlong(b, normal);
    const double apart = std::max(other.low - one.high, one.low - other.high);
    if (apart > 0 && apart * apart >= by_mm * by_mm * dot(normal, normal)) {
      return true;
    }
  }
  return false;
}

}  // namespace leafstack
