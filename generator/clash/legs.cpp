#include "generator/clash/legs.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

// Halved so often a leg of the longest travel is a hundredth of a micrometre long. Only where the
// speed itself jumps are legs halved by so much, and there are few of them; whatever still strays
// then is taken off what is proved like any deviation.
constexpr int kMostHalvings = 30;
// A motion without any bound on so short a leg has none that halving would find.
constexpr double kHopelessMm = 1;
// A strand that grows this little off its own line does so by rounding.
constexpr double kRoundingMm = 1e-9;

HullTree::Grown clippedGrown(const HullTree::Grown& grown, double from, double to) {
  const Vec3 run = minus(grown.by[1], grown.by[0]);
  return {{plus(grown.by[0], run, from), plus(grown.by[0], run, to)}, grown.deviation_mm};
}

Leg legOf(const SweptPair& pair, const Stretch& stretch) {
  const Chord chord = pair.motion.chord(stretch);
  Leg leg;
  leg.stretch = stretch;
  leg.from = seenFrom(pair.place_a, chord.from, pair.place_b);
  leg.to = seenFrom(pair.place_a, chord.to, pair.place_b);
  leg.from.shift = plus(leg.from.shift, pair.apart);
  leg.to.shift = plus(leg.to.shift, pair.apart);
  leg.deviation_mm = chord.deviation_mm;
  if (pair.a.grows()) {
    leg.a_grown = pair.a.grown(stretch);
    leg.deviation_mm += leg.a_grown.deviation_mm;
  }
  if (pair.b.grows()) {
    leg.b_grown = pair.b.grown(stretch);
    // A point that goes straight in a frame that turns: at share s it is s (1 - s) times the change
    // of turn, of the way it goes, from the chord of both.
    const double turn = std::hypot(leg.to.cos - leg.from.cos, leg.to.sin - leg.from.sin);
    const double way = norm(minus(leg.b_grown.by[1], leg.b_grown.by[0]));
    leg.deviation_mm += leg.b_grown.deviation_mm + turn * way / 4;
  }
  if (pair.free != Vec3{}) {
    const Placement frame = combined(Placement{{}, chord.frame_cos, chord.frame_sin}, pair.place_a);
    leg.free = {pair.free, frame.cos, -frame.sin};
    leg.deviation_mm += std::hypot(pair.free[0], pair.free[2]) * chord.frame_within_rad;
  }
  return leg;
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

class LegVisit {
 public:
  LegVisit(const SweptPair& pair, const Stretch& asked,
           const std::function<bool(const Leg&)>& is_far,
           const std::function<void(const Leg&)>& visit)
      : pair_(pair), asked_(asked), is_far_(is_far), visit_(visit) {}

  void run(const Stretch& stretch, int halvings) {
    if (stretch.to_mm < asked_.from_mm || stretch.from_mm > asked_.to_mm) {
      return;
    }
    const Leg leg = legOf(pair_, stretch);
    const bool is_hopeless =
        std::isinf(leg.deviation_mm) && stretch.to_mm - stretch.from_mm < kHopelessMm;
    if (leg.deviation_mm <= pair_.stray_mm || halvings == kMostHalvings || is_hopeless) {
      visit_(leg.clipped(asked_));
      return;
    }
    if (is_far_(leg.clipped(asked_))) {
      return;
    }
    const double middle = (stretch.from_mm + stretch.to_mm) / 2;
    run({stretch.from_mm, middle}, halvings + 1);
    run({middle, stretch.to_mm}, halvings + 1);
  }

 private:
  const SweptPair& pair_;
  const Stretch& asked_;
  const std::function<bool(const Leg&)>& is_far_;
  const std::function<void(const Leg&)>& visit_;
};

Stretch wholeOf(const SweptPair& pair, const Stretch& asked) {
  return pair.b.whole(pair.a.whole(pair.motion.whole(asked)));
}

}  // namespace

double Leg::shareAt(double drive) const {
  const double length = stretch.to_mm - stretch.from_mm;
  return length > 0 ? std::clamp((drive - stretch.from_mm) / length, 0.0, 1.0) : 0;
}

Leg Leg::clipped(const Stretch& asked) const {
  if (asked.from_mm <= stretch.from_mm && asked.to_mm >= stretch.to_mm) {
    return *this;
  }
  Leg part = *this;
  part.stretch = {std::max(asked.from_mm, stretch.from_mm), std::min(asked.to_mm, stretch.to_mm)};
  const double first = shareAt(part.stretch.from_mm);
  const double last = shareAt(part.stretch.to_mm);
  part.from = between(from, to, first);
  part.to = between(from, to, last);
  part.a_grown = clippedGrown(a_grown, first, last);
  part.b_grown = clippedGrown(b_grown, first, last);
  return part;
}

void visitLegs(const SweptPair& pair, const Stretch& asked,
               const std::function<bool(const Leg&)>& is_far,
               const std::function<void(const Leg&)>& visit) {
  LegVisit(pair, asked, is_far, visit).run(wholeOf(pair, asked), 0);
}

LegView::SweptGrowth::SweptGrowth(const HullTree& tree, const HullTree::Grown& grown)
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

Bounds LegView::SweptGrowth::swept(const Bounds& box) const {
  if (!grows) {
    return box;
  }
  return carried ? Bounds{plus(box.low, low), plus(box.high, high)} : strand;
}

LegView::LegView(const SweptPair& pair, const Leg& leg)
    : pair_(pair),
      leg_(leg),
      a_growth_(pair.a, leg.a_grown),
      b_growth_(pair.b, leg.b_grown),
      turned_(leg.from.turns() || leg.to.turns()),
      turning_(leg.from.cos != leg.to.cos || leg.from.sin != leg.to.sin) {
  thickness_ = pair.a.radiusMm() + pair.b.radiusMm() + leg.deviation_mm;
  is_plain_ = !turned_ && !a_growth_.grows && !b_growth_.grows;
  const auto bends = [](const SweptGrowth& growth, const MovingHull& strand) {
    return growth.grows && !growth.carried && loosenessOf(strand) > kRoundingMm;
  };
  loose_ = turning_ || bends(a_growth_, hullOfA(0, {0, 1})) ||
           (b_growth_.grows && bends(b_growth_, hullOfB(0, {0, 1})));
  reach_ = leg.free.half_mm;
  if (leg.free.turns()) {
    reach_ = placedBox({{}, leg.free.cos, leg.free.sin}, {minus({}, reach_), reach_}).high;
  }
  for (int axis = 0; axis < 3; ++axis) {
    least_[axis] = std::min(leg.from.shift[axis], leg.to.shift[axis]) - reach_[axis];
    most_[axis] = std::max(leg.from.shift[axis], leg.to.shift[axis]) + reach_[axis];
  }
}

double LegView::bentGap(const Bounds& box_a, const Bounds& box_b) const {
  const Bounds a = a_growth_.swept(box_a);
  const Bounds b = b_growth_.swept(box_b);
  if (!turned_) {
    return gapBetween(a, b, least_, most_);
  }
  Bounds placed = placedBox(leg_.from, b);
  const Bounds last = placedBox(leg_.to, b);
  for (int axis = 0; axis < 3; ++axis) {
    placed.low[axis] = std::min(placed.low[axis], last.low[axis]);
    placed.high[axis] = std::max(placed.high[axis], last.high[axis]);
  }
  return gapBetween(a, placed, minus({}, reach_), reach_);
}

std::optional<LegView::Shares> LegView::nearShares(const Bounds& box_a, const Bounds& box_b,
                                                   double reach) const {
  const Bounds a = a_growth_.swept(box_a);
  const Bounds b = b_growth_.swept(box_b);
  const Bounds first = placedBox(leg_.from, b);
  const Bounds last = placedBox(leg_.to, b);
  // What they are apart along the other axes at least takes from the reach along each.
  Bounds swept = first;
  include(swept, last.low);
  include(swept, last.high);
  Vec3 squared{};
  for (int axis = 0; axis < 3; ++axis) {
    const double gap = std::max(a.low[axis] - swept.high[axis], swept.low[axis] - a.high[axis]);
    squared[axis] = std::pow(std::max(gap - reach_[axis], 0.0), 2);
  }
  double from = 0;
  double to = 1;
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
    const double room = std::sqrt(std::max(reach * reach - others, 0.0)) + reach_[axis];
    keepNegative(a.low[axis] - first.high[axis] - room, a.low[axis] - last.high[axis] - room);
    keepNegative(first.low[axis] - a.high[axis] - room, last.low[axis] - a.high[axis] - room);
  }
  return from <= to ? std::optional(Shares{from, to}) : std::nullopt;
}

void LegView::goAndTurn(MovingHull& hull, const Shares& part) const {
  const int first_grown = b_growth_.firstGrown();
  for (int end = 0; end < (hull.stands ? 1 : 2); ++end) {
    const Placement place = between(leg_.from, leg_.to, part[end]);
    for (int i = 0; i < 3; ++i) {
      Vec3& point = hull.points[end][i];
      if (i < first_grown) {
        point = place(point);
      } else {
        const Vec3 first = leg_.from(plus(point, leg_.b_grown.by[0]));
        const Vec3 last = leg_.to(plus(point, leg_.b_grown.by[1]));
        point = plus(first, minus(last, first), part[end]);
      }
    }
  }
}

double LegView::looseness(int i, int j, const Shares& part) const {
  return loose_ ? loosenessOf(hullOfA(i, part)) + loosenessOf(hullOfB(j, part)) : 0;
}

bool LegView::isTight(double looseness, const Shares& part) const {
  const double length = (part[1] - part[0]) * (leg_.stretch.to_mm - leg_.stretch.from_mm);
  return looseness <= std::max(pair_.stray_mm, kRoundingMm) || length <= kStretchEndMm;
}

}  // namespace leafstack
