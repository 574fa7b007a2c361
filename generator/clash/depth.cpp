#include "generator/clash/depth.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

namespace leafstack {
namespace {

constexpr std::size_t kMostFaceDirections = 24;
// Faces whose normals agree to this are square to one direction.
constexpr double kNormalsPerUnit = 1000;
constexpr double kBeyondMm = 1;
// Nearer than this is contact: less than kTouchMm, or flat parts would seem deeper by that.
constexpr double kMeetsMm = 1e-7;

/// Bodies of an instance as they are at one position: strands no longer grow.
struct Standing {
  std::vector<HullTree> trees;
  std::vector<Vec3> at;
};

Standing standingAt(PlacedShapes& shapes, int instance, Fineness fineness, double drive_mm) {
  Standing standing;
  for (const Body& body : shapes.bodies(instance, fineness)) {
    standing.trees.push_back(body.tree->standingAt(drive_mm));
    standing.at.push_back(body.at);
  }
  return standing;
}

/// How far `b` must go along `direction` for its bounds to be clear of `a`'s.
double reachAlong(const Bounds& a, const Bounds& b, double shift_x, const Vec3& direction) {
  double reach = std::numeric_limits<double>::infinity();
  for (int axis = 0; axis < 3; ++axis) {
    const double moved = axis == 0 ? shift_x : 0;
    const double way = direction[axis];
    if (std::abs(way) > 1e-6) {
      const double gap =
          way > 0 ? a.high[axis] - b.low[axis] - moved : b.high[axis] + moved - a.low[axis];
      reach = std::min(reach, std::max(gap, 0.0) / std::abs(way));
    }
  }
  return reach + kBeyondMm;
}

class EscapeSearch {
 public:
  EscapeSearch(PlacedShapes& shapes, const PairQuery& query, double drive_mm)
      : shapes_(shapes),
        query_(query),
        drive_mm_(drive_mm),
        a_(standingAt(shapes, query.a, query.fineness, drive_mm)),
        b_(standingAt(shapes, query.b, query.fineness, drive_mm)),
        shift_x_(shapes.relativeShift(query.a, query.b, drive_mm)) {}

  /// At this shift even the bounds are free of each other.
  double reach(const Vec3& direction) const {
    return reachAlong(shapes_.bounds(query_.a), shapes_.bounds(query_.b), shift_x_, direction);
  }

  /// Least shift along `direction` that frees the parts; infinite where it is more than `most`.
  double along(const Vec3& direction, double most) {
    const Stretch whole{0, most};
    std::vector<Stretch> meets;
    const StraightMotion motion(direction);
    for (std::size_t i = 0; i < a_.trees.size(); ++i) {
      for (std::size_t j = 0; j < b_.trees.size(); ++j) {
        const Vec3 apart = plus(minus(b_.at[j], a_.at[i]), {shift_x_, 0, 0});
        const SweptPair pair{a_.trees[i], b_.trees[j], apart, motion, {}};
        const auto found = stretchesBelow(pair, whole, kMeetsMm, Reading::kDrawn);
        meets.insert(meets.end(), found.begin(), found.end());
      }
    }
    // Free is the first place where neither surfaces meet nor one part lies inside the other.
    for (const Stretch& gap : gapsBetween(united(std::move(meets)), whole)) {
      const double middle = (gap.from_mm + gap.to_mm) / 2;
      PairQuery there = query_;
      there.shift = plus({0, 0, 0}, direction, middle);
      if (!isInside(shapes_, there, drive_mm_)) {
        return gap.from_mm;
      }
    }
    return std::numeric_limits<double>::infinity();
  }

 private:
  PlacedShapes& shapes_;
  PairQuery query_;
  double drive_mm_;
  Standing a_, b_;
  double shift_x_;
};

}  // namespace

Escape leastEscape(PlacedShapes& shapes, const PairQuery& query, double drive_mm,
                   const std::vector<Vec3>& directions) {
  EscapeSearch search(shapes, query, drive_mm);
  std::vector<std::pair<double, int>> order;  // the most promising first: the others stop sooner
  for (int i = 0; i < static_cast<int>(directions.size()); ++i) {
    order.push_back({search.reach(directions[i]), i});
  }
  std::sort(order.begin(), order.end());
  Escape least{std::numeric_limits<double>::infinity(), {}};
  for (const auto& [reach, i] : order) {
    const double shift = search.along(directions[i], std::min(reach, least.shift_mm));
    if (shift < least.shift_mm - kStretchEndMm) {
      least = {shift, directions[i]};
    }
  }
  return least;
}

std::vector<Vec3> alongTrack() {
  return {{1, 0, 0}, {-1, 0, 0}};
}

std::vector<Vec3> alongAxes() {
  return {{0, 0, 1}, {0, 0, -1}, {0, 1, 0}, {0, -1, 0}, {1, 0, 0}, {-1, 0, 0}};
}

std::vector<Vec3> squareToFaces(PlacedShapes& shapes, const PairQuery& query) {
  std::map<std::array<long, 3>, double> area_of;
  for (int instance : {query.a, query.b}) {
    if (shapes.isRope(instance)) {
      continue;
    }
    for (const Piece& piece : shapes.mesh(instance, Fineness::kCoarse).tree().pieces()) {
      const Vec3 normal =
          cross(minus(piece.points[1], piece.points[0]), minus(piece.points[2], piece.points[0]));
      const double twice_area = norm(normal);
      if (twice_area > 0) {
        std::array<long, 3> key{};
        for (int axis = 0; axis < 3; ++axis) {
          key[axis] = std::lround(normal[axis] / twice_area * kNormalsPerUnit);
        }
        area_of[key] += twice_area;
      }
    }
  }
  std::vector<std::pair<double, std::array<long, 3>>> largest;
  for (const auto& [key, area] : area_of) {
    largest.push_back({-area, key});
  }
  std::sort(largest.begin(), largest.end());
  largest.resize(std::min(largest.size(), kMostFaceDirections));
  std::vector<Vec3> directions = alongAxes();
  for (const auto& [area, key] : largest) {
    Vec3 normal{double(key[0]), double(key[1]), double(key[2])};
    const double length = norm(normal);
    normal = {normal[0] / length, normal[1] / length, normal[2] / length};
    directions.push_back(normal);
    directions.push_back(minus({0, 0, 0}, normal));
  }
  return directions;
}

}  // namespace leafstack
