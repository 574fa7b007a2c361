#include "generator/clash/legs.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

// Halved so often a leg of the longest travel is a hundredth of a micrometre long. Only where the
// speed itself jumps are legs halved by so much, and there are few of them; whatever still strays
// then is taken off what is proved like any deviation.
constexpr int kMostHalvings = 30;
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

/// A strand's own looseness over a whole leg.
double strandLooseness(const HullTree& tree, const HullTree::Grown& grown) {
  if (!tree.grows() || tree.isCarried()) {
    return 0;
  }
  MovingHull hull{{tree.pieces().front().points, tree.pieces().front().points}};
  for (int end = 0; end < 2; ++end) {
    for (int point = 1; point < 3; ++point) {
      hull.points[end][point] = plus(hull.points[end][point], grown.by[end]);
    }
  }
  return loosenessOf(hull);
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
    if (leg.deviation_mm <= pair_.stray_mm || halvings == kMostHalvings) {
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

LegView::LegView(const SweptPair& pair, const Leg& leg)
    : pair_(pair),
      leg_(leg),
      grows_(pair.a.grows() || pair.b.grows()),
      turned_(leg.from.turns() || leg.to.turns()),
      turning_(leg.from.cos != leg.to.cos || leg.from.sin != leg.to.sin),
      loose_(turning_) {
  thickness_ = pair.a.radiusMm() + pair.b.radiusMm() + leg.deviation_mm;
  if (grows_) {
    loose_ = loose_ || strandLooseness(pair.a, leg.a_grown) > kRoundingMm ||
             strandLooseness(pair.b, leg.b_grown) > kRoundingMm;
  }
  reach_ = leg.free.half_mm;
  if (leg.free.turns()) {
    const Bounds box = placedBox({{}, leg.free.cos, leg.free.sin}, {minus({}, reach_), reach_});
    reach_ = box.high;
  }
  for (int axis = 0; axis < 3; ++axis) {
    least_[axis] = std::min(leg.from.shift[axis], leg.to.shift[axis]) - reach_[axis];
    most_[axis] = std::max(leg.from.shift[axis], leg.to.shift[axis]) + reach_[axis];
  }
}

Bounds LegView::sweptBox(const Bounds& box, const HullTree& tree,
                         const HullTree::Grown& grown) const {
  if (!tree.grows()) {
    return box;
  }
  Bounds swept = emptyBox();
  for (const Vec3& by : grown.by) {
    if (tree.isCarried()) {
      include(swept, plus(box.low, by));
      include(swept, plus(box.high, by));
    } else {
      // A strand: its far end reaches further than where it is at closed.
      const Piece& piece = tree.pieces().front();
      include(swept, piece.points[0]);
      include(swept, plus(piece.points[1], by));
    }
  }
  return swept;
}

std::array<Bounds, 2> LegView::placedBoxes(const Bounds& b) const {
  return {placedBox(leg_.from, b), placedBox(leg_.to, b)};
}

double LegView::boxGap(const Bounds& box_a, const Bounds& box_b) const {
  const Bounds a = grows_ ? sweptBox(box_a, pair_.a, leg_.a_grown) : box_a;
  Bounds b = grows_ ? sweptBox(box_b, pair_.b, leg_.b_grown) : box_b;
  Vec3 least = least_;
  Vec3 most = most_;
  if (turned_) {
    const auto [first, last] = placedBoxes(b);
    b = first;
    include(b, last.low);
    include(b, last.high);
    most = reach_;
    least = minus({}, reach_);
  }
  double squared = 0;
  for (int axis = 0; axis < 3; ++axis) {
    const double below = a.low[axis] - b.high[axis] - most[axis];
    const double above = b.low[axis] + least[axis] - a.high[axis];
    const double gap = std::max(below, above);
    squared += gap > 0 ? gap * gap : 0;
  }
  return squared > 0 ? std::sqrt(squared) : 0;
}

std::optional<LegView::Shares> LegView::nearShares(const Bounds& box_a, const Bounds& box_b,
                                                   double reach) const {
  const Bounds a = grows_ ? sweptBox(box_a, pair_.a, leg_.a_grown) : box_a;
  const Bounds b = grows_ ? sweptBox(box_b, pair_.b, leg_.b_grown) : box_b;
  const auto [first, last] = placedBoxes(b);
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
    const double room = reach + reach_[axis];
    keepNegative(a.low[axis] - first.high[axis] - room, a.low[axis] - last.high[axis] - room);
    keepNegative(first.low[axis] - a.high[axis] - room, last.low[axis] - a.high[axis] - room);
  }
  return from <= to ? std::optional(Shares{from, to}) : std::nullopt;
}

std::array<LegView::NodePair, 2> LegView::childrenOf(int i, int j) const {
  const Node& p = pair_.a.nodes()[i];
  const Node& q = pair_.b.nodes()[j];
  const bool split_a = q.left < 0 || (p.left >= 0 && p.count >= q.count);
  return split_a ? std::array<NodePair, 2>{{{p.left, j}, {p.right, j}}}
                 : std::array<NodePair, 2>{{{i, q.left}, {i, q.right}}};
}

MovingHull LegView::hullOfA(int piece, const Shares& part) const {
  const auto& points = pair_.a.pieces()[piece].points;
  MovingHull hull{{points, points}, !pair_.a.grows()};
  if (!hull.stands) {
    const HullTree::Grown grown = clippedGrown(leg_.a_grown, part[0], part[1]);
    for (int end = 0; end < 2; ++end) {
      for (int point = pair_.a.isCarried() ? 0 : 1; point < 3; ++point) {
        hull.points[end][point] = plus(hull.points[end][point], grown.by[end]);
      }
    }
  }
  return hull;
}

MovingHull LegView::hullOfB(int piece, const Shares& part) const {
  const auto& points = pair_.b.pieces()[piece].points;
  const bool grows = pair_.b.grows();
  MovingHull hull{{points, points}};
  hull.stands = !grows && !turning_ && (part[0] == part[1] || leg_.from.shift == leg_.to.shift);
  const int first_grown = pair_.b.isCarried() ? 0 : 1;
  for (int end = 0; end < (hull.stands ? 1 : 2); ++end) {
    const Placement place = between(leg_.from, leg_.to, part[end]);
    for (int i = 0; i < 3; ++i) {
      Vec3& point = hull.points[end][i];
      if (!grows || i < first_grown) {
        point = turned_ ? place(point) : plus(point, place.shift);
      } else {
        const Vec3 first = leg_.from(plus(point, leg_.b_grown.by[0]));
        const Vec3 last = leg_.to(plus(point, leg_.b_grown.by[1]));
        point = plus(first, minus(last, first), part[end]);
      }
    }
  }
  return hull;
}

Separation LegView::separation(int i, int j, const Shares& part, double enough) const {
  return leastSeparation(hullOfA(i, part), hullOfB(j, part), leg_.free, enough);
}

double LegView::looseness(int i, int j, const Shares& part) const {
  return loose_ ? loosenessOf(hullOfA(i, part)) + loosenessOf(hullOfB(j, part)) : 0;
}

bool LegView::isTight(double looseness, const Shares& part) const {
  const double length = (part[1] - part[0]) * (leg_.stretch.to_mm - leg_.stretch.from_mm);
  return looseness <= std::max(pair_.stray_mm, kRoundingMm) || length <= kStretchEndMm;
}

}  // namespace leafstack
