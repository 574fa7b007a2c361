#include "generator/geometry/moving/straight_stretches.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "generator/geometry/bounds.h"
#include "generator/geometry/range.h"

namespace leafstack {
namespace {

// Halved so often a straight stretch of the longest travel is a hundredth of a micrometre long.
// Only where the speed itself jumps are straight stretches halved by so much, and there are few of
// them; whatever still deviates then is taken off what is proved like any deviation.
constexpr int kMostHalvings = 30;
// A motion without any bound on so short a straight stretch has none that halving would find.
constexpr double kHopelessMm = 1;
// A strand that grows this little off its own line does so by rounding.
constexpr double kRoundingMm = 1e-9;

HullTree::Grown clippedGrown(const HullTree::Grown& grown, double from, double to) {
  const Vec3 run = minus(grown.by[1], grown.by[0]);
  return {{plus(grown.by[0], run, from), plus(grown.by[0], run, to)}, grown.deviation_mm};
}

StraightStretch straightStretchOf(const SweptPair& pair, const Stretch& stretch) {
  const Chord chord = pair.motion.chord(stretch);
  StraightStretch straight;
  straight.stretch = stretch;
  straight.from = seenFrom(pair.place_a, chord.from, pair.place_b);
  straight.to = seenFrom(pair.place_a, chord.to, pair.place_b);
  straight.from.shift = plus(straight.from.shift, pair.apart);
  straight.to.shift = plus(straight.to.shift, pair.apart);
  straight.deviation_mm = chord.deviation_mm;
  if (pair.a.grows()) {
    straight.a_grown = pair.a.grown(stretch);
    straight.deviation_mm += straight.a_grown.deviation_mm;
  }
  if (pair.b.grows()) {
    straight.b_grown = pair.b.grown(stretch);
    // A point that goes straight in a frame that turns: at share s it is s (1 - s) times the change
    // of turn, of the way it goes, from the chord of both.
    const double turn =
        std::hypot(straight.to.cos - straight.from.cos, straight.to.sin - straight.from.sin);
    const double way = norm(minus(straight.b_grown.by[1], straight.b_grown.by[0]));
    straight.deviation_mm += straight.b_grown.deviation_mm + turn * way / 4;
  }
  if (pair.free != Vec3{}) {
    const Placement frame = combined(Placement{{}, chord.frame_cos, chord.frame_sin}, pair.place_a);
    straight.free = {pair.free, frame.cos, -frame.sin};
    straight.deviation_mm += std::hypot(pair.free[0], pair.free[2]) * chord.frame_within_rad;
  }
  return straight;
}

/// By how much a hull's own points bend what it sweeps; see the header.
double loosenessOf(const MovingHull& hull) {
  if (hull.stands) {
    return 0;
  }
  const auto& [first, last] = hull.points;
  std::array<Vec3, 3> run{};
  for (int i = 0; i < 3; ++i) {
    run[i] = minus(last[i], first[i]);
  }
  if (first[1] == first[2] && last[1] == last[2]) {
    // A segment: what lengthens it does no harm.
    const Vec3 length = minus(first[1], first[0]);
    const Vec3 change = minus(run[1], run[0]);
    const double along = norm(length);
    return along > 0 ? norm(cross(change, length)) / along : norm(change);
  }
  // A mean of points of the first and the last shape, s of the last, is off the mean of the same
  // points by s (1 - s) of a difference of their runs.
  return std::max({norm(minus(run[1], run[0])), norm(minus(run[2], run[0])),
                   norm(minus(run[2], run[1]))}) /
         4;
}

/// What a box is in the plane that everything turns in.
class FlatBox {
 public:
  struct Extent {
    Range x, z;
  };

  explicit FlatBox(const Bounds& box)
      : x_((box.low[kAlongX] + box.high[kAlongX]) / 2),
        z_((box.low[kAlongZ] + box.high[kAlongZ]) / 2),
        half_x_((box.high[kAlongX] - box.low[kAlongX]) / 2),
        half_z_((box.high[kAlongZ] - box.low[kAlongZ]) / 2) {}

  Extent placed(const Placement& place) const {
    const double cos = std::abs(place.cos);
    const double sin = std::abs(place.sin);
    const double x = place.cos * x_ - place.sin * z_ + place.shift[kAlongX];
    const double z = place.sin * x_ + place.cos * z_ + place.shift[kAlongZ];
    const double reach_x = cos * half_x_ + sin * half_z_;
    const double reach_z = sin * half_x_ + cos * half_z_;
    return {{x - reach_x, x + reach_x}, {z - reach_z, z + reach_z}};
  }
  Extent sweptBy(const Placement& from, const Placement& to) const {
    const Extent first = placed(from);
    const Extent last = placed(to);
    return {{std::min(first.x.low, last.x.low), std::max(first.x.high, last.x.high)},
            {std::min(first.z.low, last.z.low), std::max(first.z.high, last.z.high)}};
  }

 private:
  double x_, z_, half_x_, half_z_;
};

/// 0 where they overlap.
double apart(const Range& p, const Range& q) {
  const double below = p.low - q.high;
  const double above = q.low - p.high;
  const double gap = below > above ? below : above;  // not of a list: asked for at every step
  return gap > 0 ? gap : 0;
}

double squaredApart(const FlatBox::Extent& p, const FlatBox::Extent& q, const Vec3& reach) {
  const double x = std::max(apart(p.x, q.x) - reach[kAlongX], 0.0);
  const double z = std::max(apart(p.z, q.z) - reach[kAlongZ], 0.0);
  return x * x + z * z;
}

class StretchVisit {
 public:
  StretchVisit(const SweptPair& pair, const Stretch& asked,
               const std::function<bool(const StraightStretch&)>& is_far,
               const std::function<void(const StraightStretch&)>& visit)
      : pair_(pair), asked_(asked), is_far_(is_far), visit_(visit) {}

  void run(const Stretch& stretch, int halvings) {
    if (stretch.to_mm < asked_.from_mm || stretch.from_mm > asked_.to_mm) {
      return;
    }
    const StraightStretch straight = straightStretchOf(pair_, stretch);
    const bool is_hopeless =
        std::isinf(straight.deviation_mm) && stretch.to_mm - stretch.from_mm < kHopelessMm;
    const bool may_halve = pair_.effort == nullptr || pair_.effort->take(kStretchSteps);
    if (straight.deviation_mm <= pair_.deviation_mm || halvings == kMostHalvings || is_hopeless ||
        !may_halve) {
      visit_(straight.clipped(asked_));
      return;
    }
    if (is_far_(straight.clipped(asked_))) {
      return;
    }
    const double middle = (stretch.from_mm + stretch.to_mm) / 2;
    run({stretch.from_mm, middle}, halvings + 1);
    run({middle, stretch.to_mm}, halvings + 1);
  }

 private:
  const SweptPair& pair_;
  const Stretch& asked_;
  const std::function<bool(const StraightStretch&)>& is_far_;
  const std::function<void(const StraightStretch&)>& visit_;
};

Stretch wholeOf(const SweptPair& pair, const Stretch& asked) {
  return pair.b.whole(pair.a.whole(pair.motion.whole(asked)));
}

}  // namespace

double StraightStretch::shareAt(double drive) const {
  const double length = stretch.to_mm - stretch.from_mm;
  return length > 0 ? std::clamp((drive - stretch.from_mm) / length, 0.0, 1.0) : 0;
}

StraightStretch StraightStretch::clipped(const Stretch& asked) const {
  if (asked.from_mm <= stretch.from_mm && asked.to_mm >= stretch.to_mm) {
    return *this;
  }
  StraightStretch part = *this;
  part.stretch = {std::max(asked.from_mm, stretch.from_mm), std::min(asked.to_mm, stretch.to_mm)};
  const double first = shareAt(part.stretch.from_mm);
  const double last = shareAt(part.stretch.to_mm);
  part.from = between(from, to, first);
  part.to = between(from, to, last);
  part.a_grown = clippedGrown(a_grown, first, last);
  part.b_grown = clippedGrown(b_grown, first, last);
  return part;
}

void visitStraightStretches(const SweptPair& pair, const Stretch& asked,
                            const std::function<bool(const StraightStretch&)>& is_far,
                            const std::function<void(const StraightStretch&)>& visit) {
  StretchVisit(pair, asked, is_far, visit).run(wholeOf(pair, asked), 0);
}

SweptTrees::SweptGrowth::SweptGrowth(const HullTree& tree, const HullTree::Grown& grown)
    : grows(tree.grows()), carried(tree.isCarried()) {
  if (!grows) {
    return;
  }
  strand = emptyBox();
  const Piece& piece = tree.pieces().front();
  include(strand, piece.points[0]);
  for (int axis = 0; axis < 3; ++axis) {
    low[axis] = std::min(grown.by[0][axis], grown.by[1][axis]);
    high[axis] = std::max(grown.by[0][axis], grown.by[1][axis]);
  }
  include(strand, plus(piece.points[1], low));
  include(strand, plus(piece.points[1], high));
}

Bounds SweptTrees::SweptGrowth::swept(const Bounds& box) const {
  if (!grows) {
    return box;
  }
  return carried ? Bounds{plus(box.low, low), plus(box.high, high)} : strand;
}

SweptTrees::SweptTrees(const SweptPair& pair, const StraightStretch& straight)
    : pair_(pair),
      stretch_(straight),
      a_growth_(pair.a, straight.a_grown),
      b_growth_(pair.b, straight.b_grown),
      turned_(straight.from.turns() || straight.to.turns()),
      turning_(straight.from.cos != straight.to.cos || straight.from.sin != straight.to.sin) {
  thickness_ = pair.a.radiusMm() + pair.b.radiusMm() + straight.deviation_mm;
  is_plain_ = !turned_ && !a_growth_.grows && !b_growth_.grows;
  const auto bends = [](const SweptGrowth& growth, const MovingHull& strand) {
    return growth.grows && !growth.carried && loosenessOf(strand) > kRoundingMm;
  };
  loose_ = turning_ || bends(a_growth_, hullOfA(0, {0, 1})) ||
           (b_growth_.grows && bends(b_growth_, hullOfB(0, {0, 1})));
  reach_ = straight.free.half_mm;
  if (straight.free.turns()) {
    reach_ =
        placedBox({{}, straight.free.cos, straight.free.sin}, {minus({}, reach_), reach_}).high;
  }
  for (int axis = 0; axis < 3; ++axis) {
    least_[axis] = std::min(straight.from.shift[axis], straight.to.shift[axis]) - reach_[axis];
    most_[axis] = std::max(straight.from.shift[axis], straight.to.shift[axis]) + reach_[axis];
  }
  if (turned_) {
    lean();
  }
}

void SweptTrees::lean() {
  const double cos = stretch_.from.cos + stretch_.to.cos;
  const double sin = stretch_.from.sin + stretch_.to.sin;
  const double length = std::hypot(cos, sin);
  if (length > 0) {  // else turned round: any frame will do
    a_leaning_ = {{}, cos / length, -sin / length};
  }
  from_leaning_ = combined(a_leaning_, stretch_.from);
  to_leaning_ = combined(a_leaning_, stretch_.to);
  const double own_cos = a_leaning_.cos * stretch_.free.cos - a_leaning_.sin * stretch_.free.sin;
  const double own_sin = a_leaning_.sin * stretch_.free.cos + a_leaning_.cos * stretch_.free.sin;
  const Vec3& half = stretch_.free.half_mm;
  leaning_reach_ = placedBox({{}, own_cos, own_sin}, {minus({}, half), half}).high;
}

double SweptTrees::turnedGap(const Bounds& a, const Bounds& b) const {
  const double y_from = stretch_.from.shift[kAlongY];
  const double y_to = stretch_.to.shift[kAlongY];
  const double across = apart({a.low[kAlongY], a.high[kAlongY]},
                              {b.low[kAlongY] + std::min(y_from, y_to) - reach_[kAlongY],
                               b.high[kAlongY] + std::max(y_from, y_to) + reach_[kAlongY]});
  const FlatBox flat_a(a);
  const FlatBox flat_b(b);
  const FlatBox::Extent own{{a.low[kAlongX], a.high[kAlongX]}, {a.low[kAlongZ], a.high[kAlongZ]}};
  const double by_a = squaredApart(own, flat_b.sweptBy(stretch_.from, stretch_.to), reach_);
  const double by_b = squaredApart(flat_a.placed(a_leaning_),
                                   flat_b.sweptBy(from_leaning_, to_leaning_), leaning_reach_);
  return std::sqrt(across * across + std::max(by_a, by_b));
}

double SweptTrees::bentGap(const Bounds& box_a, const Bounds& box_b) const {
  const Bounds a = a_growth_.swept(box_a);
  const Bounds b = b_growth_.swept(box_b);
  return turned_ ? turnedGap(a, b) : gapBetween(a, b, least_, most_);
}

double SweptTrees::signedGap(const Bounds& box_a, const Bounds& box_b) const {
  const BoxesSeen seen = seenByA(a_growth_.swept(box_a), b_growth_.swept(box_b));
  double most = -std::numeric_limits<double>::infinity();
  for (int axis = 0; axis < 3; ++axis) {
    most = std::max({most, seen.a.low[axis] - std::max(seen.first.high[axis], seen.last.high[axis]),
                     std::min(seen.first.low[axis], seen.last.low[axis]) - seen.a.high[axis]});
  }
  return most;
}

void SweptTrees::keepNear(const BoxesSeen& seen, double reach, Shares& shares) {
  // What they are apart along the other axes at least takes from the reach along each.
  Bounds swept = seen.first;
  include(swept, seen.last.low);
  include(swept, seen.last.high);
  Vec3 squared{};
  for (int axis = 0; axis < 3; ++axis) {
    const double gap =
        std::max(seen.a.low[axis] - swept.high[axis], swept.low[axis] - seen.a.high[axis]);
    const double apart = std::max(gap - seen.reach[axis], 0.0);
    squared[axis] = apart * apart;
  }
  auto& [from, to] = shares;
  // Every point of b goes straight, so a face of its box is passed no sooner than the straight way
  // between where it is at both ends says.
  const auto keepNegative = [&](double at_first, double at_last) {
    if (at_first > 0 && at_last > 0) {
      from = 2;
    } else if (at_first > 0) {
      from = std::max(from, at_first / (at_first - at_last));
    } else if (at_last > 0) {
      to = std::min(to, at_first / (at_first - at_last));
    }
  };
  for (int axis = 0; axis < 3; ++axis) {
    const double others = squared[0] + squared[1] + squared[2] - squared[axis];
    const double room = std::sqrt(std::max(reach * reach - others, 0.0)) + seen.reach[axis];
    keepNegative(seen.a.low[axis] - seen.first.high[axis] - room,
                 seen.a.low[axis] - seen.last.high[axis] - room);
    keepNegative(seen.first.low[axis] - seen.a.high[axis] - room,
                 seen.last.low[axis] - seen.a.high[axis] - room);
  }
}

std::optional<SweptTrees::Shares> SweptTrees::nearShares(const Bounds& box_a, const Bounds& box_b,
                                                         double reach) const {
  const Bounds a = a_growth_.swept(box_a);
  const Bounds b = b_growth_.swept(box_b);
  Shares shares{0, 1};
  keepNear(seenByA(a, b), reach, shares);
  if (turned_ && shares[0] <= shares[1]) {
    keepNear(seenByB(a, b), reach, shares);
  }
  return shares[0] <= shares[1] ? std::optional(shares) : std::nullopt;
}

void SweptTrees::goAndTurn(MovingHull& hull, const Shares& part) const {
  const int first_grown = b_growth_.firstGrown();
  for (int end = 0; end < (hull.stands ? 1 : 2); ++end) {
    const Placement place = between(stretch_.from, stretch_.to, part[end]);
    for (int i = 0; i < 3; ++i) {
      Vec3& point = hull.points[end][i];
      if (i < first_grown) {
        point = place(point);
      } else {
        const Vec3 first = stretch_.from(plus(point, stretch_.b_grown.by[0]));
        const Vec3 last = stretch_.to(plus(point, stretch_.b_grown.by[1]));
        point = plus(first, minus(last, first), part[end]);
      }
    }
  }
}

double SweptTrees::looseness(int i, int j, const Shares& part) const {
  return loose_ ? loosenessOf(hullOfA(i, part)) + loosenessOf(hullOfB(j, part)) : 0;
}

bool SweptTrees::isTight(double looseness, const Shares& part) const {
  const double length = (part[1] - part[0]) * (stretch_.stretch.to_mm - stretch_.stretch.from_mm);
  return looseness <= std::max(pair_.deviation_mm, kRoundingMm) || length <= kStretchEndMm;
}

}  // namespace leafstack
