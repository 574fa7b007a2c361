// Comparisons of two instances (placed.h).
#include <algorithm>

#include "generator/clash/placed/placed.h"

namespace leafstack {
namespace {

/// Both instances' bodies. Where they turn to each other, the smaller goes and the larger stands:
/// what is long deviates and sweeps more by turning.
class QueryBodies {
 public:
  QueryBodies(PlacedShapes& shapes, const PairQuery& query)
      : shapes_(shapes),
        query_(query),
        swapped_(isSwapped()),
        a_(swapped_ ? query.b : query.a),
        b_(swapped_ ? query.a : query.b),
        motion_(shapes.motion(a_, b_)) {
    standing_ = bodiesOf(a_);
    going_ = bodiesOf(b_);
  }

  bool swapped() const { return swapped_; }
  int standing() const { return a_; }

  /// Calls with every two bodies, as they are to be swept.
  template <class Visit>
  void forPairs(const Visit& visit) const {
    for (const Body& one : standing_) {
      for (const Body& other : going_) {
        visit(SweptPair{*one.tree, *other.tree, query_.shift, motion_, query_.free, one.place,
                        other.place, kDeviationsMm[static_cast<int>(query_.fineness)],
                        query_.effort});
      }
    }
  }

 private:
  bool isSwapped() const {
    const auto size = [&](int instance) {
      const Bounds& box = shapes_.ownBounds(instance);
      return norm(minus(box.high, box.low));
    };
    const auto body = [&](int instance) { return shapes_.bodyOf(instance); };
    return !shapes_.motions().isStraight(body(query_.a), body(query_.b)) &&
           query_.shift == Vec3{} && size(query_.b) > size(query_.a);
  }
  std::vector<Body> bodiesOf(int instance) const {
    return query_.is_thinner && instance == query_.a
               ? shapes_.thinnerBodies(instance, query_.fineness)
               : shapes_.bodies(instance, query_.fineness);
  }

  PlacedShapes& shapes_;
  const PairQuery& query_;
  bool swapped_;
  int a_, b_;
  BodyMotion motion_;
  std::vector<Body> standing_, going_;
};

}  // namespace

Clearance leastBetween(PlacedShapes& shapes, const PairQuery& query, const Stretch& stretch,
                       const Wanted& wanted) {
  Clearance least;
  least.at_least_mm = wanted.enough_mm;
  least.at_mm = stretch.from_mm;
  const QueryBodies bodies(shapes, query);
  bodies.forPairs([&](const SweptPair& pair) {
    Wanted nearer = wanted;
    nearer.enough_mm = least.at_least_mm;
    Clearance found = leastClearance(pair, stretch, nearer);
    if (found.at_least_mm < least.at_least_mm) {
      const Placement there = shapes.standing(bodies.standing(), found.at_mm);
      found.on_a = there(found.on_a);
      found.on_b = there(found.on_b);
      if (bodies.swapped()) {
        std::swap(found.on_a, found.on_b);
      }
      least = found;
    }
  });
  return least;
}

std::vector<Stretch> stretchesBetween(PlacedShapes& shapes, const PairQuery& query,
                                      const Stretch& stretch, double limit_mm, Reading reading) {
  std::vector<Stretch> all;
  QueryBodies(shapes, query).forPairs([&](const SweptPair& pair) {
    const auto found = stretchesBelow(pair, stretch, limit_mm, reading);
    all.insert(all.end(), found.begin(), found.end());
  });
  return united(std::move(all));
}

bool isInside(PlacedShapes& shapes, const PairQuery& query, double drive_mm) {
  constexpr std::size_t kProbes = 8;
  Placement apart = shapes.seenFrom(query.a, query.b, drive_mm);
  apart.shift = plus(apart.shift, query.shift);
  const auto holds = [&](int inner, int outer, const Placement& place) {
    if (shapes.isRope(outer)) {
      return false;
    }
    const Body body = shapes.bodies(inner, Fineness::kCoarse).front();
    const TriangleMesh& mesh = shapes.mesh(outer, Fineness::kCoarse);
    // Of a few points the one farthest from the other's surface: touching parts share points.
    const auto& pieces = body.tree->pieces();
    Vec3 probe{};
    double farthest = -1;
    for (std::size_t i = 0; i < kProbes; ++i) {
      const Vec3 point = place(pieces[i * pieces.size() / kProbes].points[0]);
      if (boxDistance(mesh.bounds(), {point, point}, 0) > 0) {
        return false;  // no part of it is outside when all of it is inside
      }
      const double distance = mesh.surfaceDistance(point);
      if (distance > farthest) {
        farthest = distance;
        probe = point;
      }
    }
    return mesh.contains(probe);
  };
  return holds(query.b, query.a, apart) || holds(query.a, query.b, inverse(apart));
}

}  // namespace leafstack
