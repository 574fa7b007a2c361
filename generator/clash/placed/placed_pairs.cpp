// Comparisons of two instances (placed.h).
#include <algorithm>
#include <cmath>
#include <optional>

#include "generator/clash/placed/placed.h"
#include "generator/clash/placed/rope_end.h"
#include "generator/clash/placed/round_motion.h"

namespace leafstack {
namespace {

// A rope's end is looked at from where it is held by what stands no further around it.
constexpr double kAroundRopeEndMm = 300;

/// Both instances' bodies. Where they turn to each other, the smaller goes and the larger stands:
/// what is long deviates and sweeps more by turning. What is round goes in any case, and does not
/// turn (round_motion.h). A rope and what is fixed to where it is held are seen from there
/// (rope_end.h).
class QueryBodies {
 public:
  /// `enough_mm`: nothing further apart matters.
  QueryBodies(PlacedShapes& shapes, const PairQuery& query, double enough_mm)
      : shapes_(shapes),
        query_(query),
        swapped_(isSwapped()),
        a_(swapped_ ? query.b : query.a),
        b_(swapped_ ? query.a : query.b),
        motion_(shapes.motion(a_, b_)) {
    standing_ = bodiesOf(a_);
    going_ = bodiesOf(b_);
    takeRound();
    takeRopeEnd(query.a, query.b, enough_mm);
    takeRopeEnd(query.b, query.a, enough_mm);
  }

  /// Calls with every two bodies, as they are to be swept; and with what takes what was found there
  /// into the gate's frame, query.a's point first.
  template <class Visit>
  void forPairs(const Visit& visit) const {
    const auto pairOf = [&](const Body& one, const Body& other, const RelativeMotion& motion) {
      return SweptPair{
          *one.tree,    *other.tree, query_.shift, motion,
          query_.free,  one.place,   other.place,  kDeviationsMm[static_cast<int>(query_.fineness)],
          query_.effort};
    };
    for (const Body& one : standing_) {
      for (const Body& other : going_) {
        visit(pairOf(one, other, round_ ? static_cast<const RelativeMotion&>(*round_) : motion_),
              [&](Clearance& found) { place(a_, {}, swapped_, found); });
      }
    }
    if (rope_end_) {
      const Placement& place_of_rope = shapes_.place(rope_);
      const Body holder = bodiesOf(holder_).front();
      for (const HullTree* part : {&rope_end_->strand(), &rope_end_->cut()}) {
        visit(pairOf({part, place_of_rope}, holder, rope_end_->motion()), [&](Clearance& found) {
          place(rope_, rope_end_->goneBy(found.at_mm), rope_ != query_.a, found);
        });
      }
    }
  }

 private:
  bool isSwapped() const {
    const auto size = [&](int instance) {
      const Bounds& box = shapes_.ownBounds(instance);
      return norm(minus(box.high, box.low));
    };
    if (isStraight() || query_.shift != Vec3{}) {
      return false;
    }
    const bool is_round = isTakenRound(query_.a, query_.b);
    return is_round != isTakenRound(query_.b, query_.a) ? is_round
                                                        : size(query_.b) > size(query_.a);
  }
  /// Ropes are seen from their carrier, whose way they bend along.
  bool isTakenRound(int one, int other) const {
    return shapes_.isRound(one) && !shapes_.isRope(other);
  }
  void takeRound() {
    if (isStraight() || !isTakenRound(b_, a_)) {
      return;
    }
    const Vec3& axis = shapes_.place(b_).shift;
    const auto [x, z] = shapes_.motions().pivot(shapes_.bodyOf(b_));
    const double reach = std::hypot(axis[0] - x, axis[2] - z);
    round_.emplace(shapes_.motions().motion(shapes_.bodyOf(a_), shapes_.bodyOf(b_), reach), axis);
    for (Body& body : going_) {
      body.place.cos = shapes_.place(a_).cos;
      body.place.sin = shapes_.place(a_).sin;
    }
  }
  bool isStraight() const {
    return shapes_.motions().isStraight(shapes_.bodyOf(query_.a), shapes_.bodyOf(query_.b));
  }
  std::vector<Body> bodiesOf(int instance) const {
    return query_.is_thinner && instance == query_.a
               ? shapes_.thinnerBodies(instance, query_.fineness)
               : shapes_.bodies(instance, query_.fineness);
  }

  void takeRopeEnd(int rope, int holder, double enough_mm) {
    if (isStraight() || !shapes_.isRope(rope) || shapes_.isRope(holder) || query_.shift != Vec3{} ||
        query_.free != Vec3{} || enough_mm > kAroundRopeEndMm) {
      return;
    }
    const RopeRun& run = shapes_.ropeRun(rope);
    const int body = shapes_.bodyOf(holder);
    if (body != run.frontBody() && body != run.rearBody()) {
      return;
    }
    std::vector<Body>& bodies = rope == a_ ? standing_ : going_;
    const auto strand = bodies.begin() + (body == run.frontBody() ? kFrontStrand : kRearStrand);
    const Vec3 end = shapes_.place(rope)(strand->tree->farEnd().at);
    const double reach = shapes_.reachFrom(holder, end);
    if (reach > kAroundRopeEndMm) {
      return;
    }
    rope_ = rope;
    holder_ = holder;
    rope_end_.emplace(*strand->tree, *(strand + 1)->tree, shapes_.motion(rope, holder),
                      shapes_.place(rope), RopeEnd::Near{reach, enough_mm});
    bodies.erase(strand, strand + 2);
  }

  /// Points as they are seen by the tree of `standing`, which is `gone` by then.
  void place(int standing, const Vec3& gone, bool swapped, Clearance& found) const {
    const Placement there = shapes_.standing(standing, found.at_mm);
    found.on_a = there(plus(found.on_a, gone));
    found.on_b = there(plus(found.on_b, gone));
    if (swapped) {
      std::swap(found.on_a, found.on_b);
    }
  }

  PlacedShapes& shapes_;
  const PairQuery& query_;
  bool swapped_;
  int a_, b_;
  BodyMotion motion_;
  std::vector<Body> standing_, going_;
  std::optional<RoundMotion> round_;
  std::optional<RopeEnd> rope_end_;
  int rope_ = -1, holder_ = -1;  ///< where there is one
};

}  // namespace

Clearance leastBetween(PlacedShapes& shapes, const PairQuery& query, const Stretch& stretch,
                       const Wanted& wanted) {
  Clearance least;
  least.at_least_mm = wanted.enough_mm;
  least.at_mm = stretch.from_mm;
  QueryBodies(shapes, query, wanted.enough_mm)
      .forPairs([&](const SweptPair& pair, const auto& intoGate) {
        Wanted nearer = wanted;
        nearer.enough_mm = least.at_least_mm;
        Clearance found = leastClearance(pair, stretch, nearer);
        if (found.at_least_mm < least.at_least_mm) {
          intoGate(found);
          least = found;
        }
      });
  return least;
}

std::vector<Stretch> stretchesBetween(PlacedShapes& shapes, const PairQuery& query,
                                      const Stretch& stretch, double limit_mm, Reading reading) {
  std::vector<Stretch> all;
  QueryBodies(shapes, query, limit_mm).forPairs([&](const SweptPair& pair, const auto&) {
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
    // Drawn in where that is asked: points that lie on the other's surface tell nothing.
    const bool is_thinner = query.is_thinner && inner == query.a;
    const Body body = (is_thinner ? shapes.thinnerBodies(inner, Fineness::kCoarse)
                                  : shapes.bodies(inner, Fineness::kCoarse))
                          .front();
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
