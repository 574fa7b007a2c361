#include "generator/clash/findings/depth.h"

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
std::vector<HullTree> standingAt(PlacedShapes& shapes, int instance, Fineness fineness,
                                 double drive_mm) {
  std::vector<HullTree> trees;
  for (const Body& body : shapes.bodies(instance, fineness)) {
    trees.push_back(body.tree->standingAt(drive_mm));
  }
  return trees;
}

/// How far `b` must go along `direction` for its bounds to be clear of `a`'s.
double reachAlong(const Bounds& a, const Bounds& b, const Vec3& direction) {
  double reach = std::numeric_limits<double>::infinity();
  for (int axis = 0; axis < 3; ++axis) {
    const double way = direction[axis];
    if (std::abs(way) > 1e-6) {
      const double gap = way > 0 ? a.high[axis] - b.low[axis] : b.high[axis] - a.low[axis];
      reach = std::min(reach, std::max(gap, 0.0) / std::abs(way));
    }
  }
  return reach + kBeyondMm;
}

/// Everything in a's own frame.
class EscapeSearch {
 public:
  EscapeSearch(PlacedShapes& shapes, const PairQuery& query, double drive_mm)
      : shapes_(shapes),
        query_(query),
        drive_mm_(drive_mm),
        a_(standingAt(shapes, query.a, query.fineness, drive_mm)),
        b_(standingAt(shapes, query.b, query.fineness, drive_mm)),
        apart_(shapes.seenFrom(query.a, query.b, drive_mm)),
        bounds_b_(placedBox(apart_, shapes.ownBounds(query.b))) {}

  /// At this shift even the bounds are free of each other.
  double reach(const Vec3& direction) const {
    return reachAlong(shapes_.ownBounds(query_.a), bounds_b_, direction);
  }

  /// Least shift along `direction` that frees the parts; infinite where it is more than `most`.
  double along(const Vec3& direction, double most) {
    const Stretch whole{0, most};
    std::vector<Stretch> meets;
    const StraightMotion motion(direction);
    for (const HullTree& one : a_) {
      for (const HullTree& other : b_) {
        const SweptPair pair{
            .a = one, .b = other, .motion = motion, .place_b = apart_, .effort = query_.effort};
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
  std::vector<HullTree> a_, b_;
  Placement apart_;
  Bounds bounds_b_;
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
  least.direction = shapes.standing(query.a, drive_mm).turned(least.direction);
  return least;
}

std::vector<Vec3> alongTravel(const PlacedShapes& shapes, const PairQuery& query, double drive_mm) {
  Vec3 way = {1, 0, 0};
  if (const auto velocity = shapes.velocitySeenFrom(query.a, query.b)) {
    way = norm(*velocity) > 0 ? *velocity : way;
  } else {
    // Which way the middle of b goes about there.
    constexpr double kAboutMm = 1;
    const Bounds& box = shapes.ownBounds(query.b);
    const Vec3 middle = plus(plus({}, box.low, 0.5), box.high, 0.5);
    const double travel = shapes.model().layout.drive_travel_mm;
    const double before = std::max(0.0, drive_mm - kAboutMm);
    const double after = std::min(travel, drive_mm + kAboutMm);
    const Vec3 run = minus(shapes.seenFrom(query.a, query.b, after)(middle),
                           shapes.seenFrom(query.a, query.b, before)(middle));
    way = norm(run) > 0 ? run : way;
  }
  way = plus({}, way, 1 / norm(way));
  return {way, minus({}, way)};
}

std::vector<Vec3> alongAxes() {
  return {{0, 0, 1}, {0, 0, -1}, {0, 1, 0}, {0, -1, 0}, {1, 0, 0}, {-1, 0, 0}};
}

std::vector<Vec3> squareToFaces(PlacedShapes& shapes, const PairQuery& query, double drive_mm) {
  struct Facing {
    Vec3 normal{};
    double area = 0;
  };
  std::map<std::array<long, 3>, Facing> facing;
  for (int instance : {query.a, query.b}) {
    if (shapes.isRope(instance)) {
      continue;
    }
    const Placement seen =
        instance == query.a ? Placement{} : shapes.seenFrom(query.a, query.b, drive_mm);
    for (const Piece& piece : shapes.mesh(instance, Fineness::kCoarse).tree().pieces()) {
      const Vec3 normal = seen.turned(
          cross(minus(piece.points[1], piece.points[0]), minus(piece.points[2], piece.points[0])));
      const double twice_area = norm(normal);
      if (twice_area > 0) {
        std::array<long, 3> key{};
        for (int axis = 0; axis < 3; ++axis) {
          key[axis] = std::lround(normal[axis] / twice_area * kNormalsPerUnit);
        }
        Facing& one = facing[key];
        one.normal = one.area > 0 ? one.normal : plus({}, normal, 1 / twice_area);
        one.area += twice_area;
      }
    }
  }
  std::vector<Facing> largest;
  for (const auto& [key, one] : facing) {
    largest.push_back(one);
  }
  std::stable_sort(largest.begin(), largest.end(),
                   [](const Facing& p, const Facing& q) { return p.area > q.area; });
  largest.resize(std::min(largest.size(), kMostFaceDirections));
  std::vector<Vec3> directions = alongAxes();
  for (const Facing& one : largest) {
    directions.push_back(one.normal);
    directions.push_back(minus({}, one.normal));
  }
  return directions;
}

}  // namespace leafstack
