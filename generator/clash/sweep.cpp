#include "generator/clash/sweep.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "generator/clash/separation.h"

namespace leafstack {
namespace {

// A chord that strays less is as good as straight; a motion that needs more pieces is not smooth.
constexpr double kDeviationMm = 1e-3;
constexpr int kMostHalvings = 12;
// Stretches nearer to each other than this are one.
constexpr double kSameStretchMm = 1e-9;

/// One straight leg of the motion. Positions on it are shares, 0 to 1.
struct Leg {
  Stretch stretch;
  Chord chord;

  Vec3 carried(double at) const { return plus(chord.from, minus(chord.to, chord.from), at); }
  double driveAt(double at) const {
    return stretch.from_mm + at * (stretch.to_mm - stretch.from_mm);
  }
  double shareAt(double drive) const {
    const double length = stretch.to_mm - stretch.from_mm;
    return length > 0 ? std::clamp((drive - stretch.from_mm) / length, 0.0, 1.0) : 0;
  }
};

void addLegs(const RelativeMotion& motion, const Stretch& stretch, int halvings,
             std::vector<Leg>& legs) {
  const Chord chord = motion.chord(stretch);
  if (chord.deviation_mm <= kDeviationMm || halvings == kMostHalvings) {
    legs.push_back({stretch, chord});
    return;
  }
  const double middle = (stretch.from_mm + stretch.to_mm) / 2;
  addLegs(motion, {stretch.from_mm, middle}, halvings + 1, legs);
  addLegs(motion, {middle, stretch.to_mm}, halvings + 1, legs);
}

std::vector<Leg> legsOf(const RelativeMotion& motion, const Stretch& stretch) {
  std::vector<Leg> legs;
  addLegs(motion, stretch, 0, legs);
  return legs;
}

Bounds sweptBox(const Bounds& box, const HullTree& tree, const Stretch& stretch) {
  if (tree.growth() == 0) {
    return box;
  }
  if (tree.isCarried()) {
    Bounds swept = box;
    const double first = tree.growth() * stretch.from_mm;
    const double last = tree.growth() * stretch.to_mm;
    swept.low[0] += std::min(first, last);
    swept.high[0] += std::max(first, last);
    return swept;
  }
  // A strand: its far end reaches further than where it is at closed.
  const Piece& piece = tree.pieces().front();
  Bounds swept = emptyBox();
  for (double drive : {stretch.from_mm, stretch.to_mm}) {
    include(swept, piece.points[0]);
    include(swept, plus(piece.points[1], {tree.growth() * drive, 0, 0}));
  }
  return swept;
}

/// Both trees on one leg, in a's frame.
class LegSearch {
 public:
  LegSearch(const SweptPair& pair, const Leg& leg)
      : pair_(pair), leg_(leg), grows_(pair.a.growth() != 0 || pair.b.growth() != 0) {
    thickness_ = pair.a.radiusMm() + pair.b.radiusMm() + leg.chord.deviation_mm;
    const Vec3 from = plus(pair.apart, leg.carried(0));
    const Vec3 to = plus(pair.apart, leg.carried(1));
    for (int axis = 0; axis < 3; ++axis) {
      least_[axis] = std::min(from[axis], to[axis]) - pair.free[axis];
      most_[axis] = std::max(from[axis], to[axis]) + pair.free[axis];
    }
  }

 protected:
  using Node = HullTree::Node;

  /// Least distance of the two boxes while the second is carried along the leg.
  double boxGap(const Bounds& a, const Bounds& b) const {
    return grows_
               ? gapOfSwept(sweptBox(a, pair_.a, leg_.stretch), sweptBox(b, pair_.b, leg_.stretch))
               : gapOfSwept(a, b);
  }

  double gapOfSwept(const Bounds& a, const Bounds& b) const {
    double squared = 0;
    for (int axis = 0; axis < 3; ++axis) {
      const double below = a.low[axis] - b.high[axis] - most_[axis];
      const double above = b.low[axis] + least_[axis] - a.high[axis];
      const double gap = std::max(below, above);
      squared += gap > 0 ? gap * gap : 0;
    }
    return squared > 0 ? std::sqrt(squared) : 0;
  }

  using NodePair = std::pair<int, int>;

  /// The larger of two nodes, not both leaves, split in two.
  std::array<NodePair, 2> childrenOf(int i, int j) const {
    const Node& p = pair_.a.nodes()[i];
    const Node& q = pair_.b.nodes()[j];
    const bool split_a = q.left < 0 || (p.left >= 0 && p.count >= q.count);
    return split_a ? std::array<NodePair, 2>{{{p.left, j}, {p.right, j}}}
                   : std::array<NodePair, 2>{{{i, q.left}, {i, q.right}}};
  }

  double gapOf(const NodePair& nodes) const {
    return boxGap(pair_.a.nodes()[nodes.first].box, pair_.b.nodes()[nodes.second].box);
  }

  MovingHull hullOf(const HullTree& tree, int piece, const Stretch& stretch) const {
    const Piece& what = tree.pieces()[piece];
    MovingHull hull{{what.points, what.points}, tree.growth() == 0};
    if (!hull.stands) {
      for (int end = 0; end < 2; ++end) {
        const double drive = end == 0 ? stretch.from_mm : stretch.to_mm;
        for (int point = tree.isCarried() ? 0 : 1; point < 3; ++point) {
          hull.points[end][point][0] += tree.growth() * drive;
        }
      }
    }
    return hull;
  }

  /// Pieces i of a and j of b from `from` to `to`, shares of the leg.
  Separation separation(int i, int j, double from, double to, double enough) const {
    const Stretch part{leg_.driveAt(from), leg_.driveAt(to)};
    const MovingHull a = hullOf(pair_.a, i, part);
    MovingHull b = hullOf(pair_.b, j, part);
    b.stands = b.stands && (from == to || leg_.chord.from == leg_.chord.to);
    for (int end = 0; end < (b.stands ? 1 : 2); ++end) {
      const Vec3 carried = plus(pair_.apart, leg_.carried(end == 0 ? from : to));
      for (Vec3& point : b.points[end]) {
        point = plus(point, carried);
      }
    }
    return leastSeparation(a, b, pair_.free, enough);
  }

  double errorOf(int i, int j) const {
    return pair_.a.pieces()[i].error_mm + pair_.b.pieces()[j].error_mm;
  }

  const SweptPair& pair_;
  const Leg& leg_;
  bool grows_;
  double thickness_ = 0;
  Vec3 least_{}, most_{};
};

/// Depth first, nearer boxes first.
class LeastSearch : LegSearch {
 public:
  LeastSearch(const SweptPair& pair, const Leg& leg, const Wanted& wanted, Clearance& best)
      : LegSearch(pair, leg), wanted_(wanted), best_(best) {
    search(0, 0);
  }

 private:
  /// Nothing is lower than pieces that cross.
  bool isSettled() const {
    return best_.clearance_mm <= -thickness_ || best_.at_least_mm <= wanted_.unless_over_mm ||
           best_.clearance_mm + best_.error_mm <= wanted_.if_within_mm;
  }

  /// Nothing under these nodes can lower what is proved.
  bool isHopeless(const Node& p, const Node& q, double gap) const {
    return gap - thickness_ - p.error_mm - q.error_mm >= best_.at_least_mm || isSettled();
  }

  void search(int i, int j) {
    const Node& p = pair_.a.nodes()[i];
    const Node& q = pair_.b.nodes()[j];
    if (p.left < 0 && q.left < 0) {
      measureLeaves(p, q);
      return;
    }
    const auto next = childrenOf(i, j);
    const std::array<double, 2> gaps = {gapOf(next[0]), gapOf(next[1])};
    const int nearer = gaps[1] < gaps[0] ? 1 : 0;
    for (int turn : {nearer, 1 - nearer}) {
      const Node& a = pair_.a.nodes()[next[turn].first];
      const Node& b = pair_.b.nodes()[next[turn].second];
      if (!isHopeless(a, b, gaps[turn])) {
        search(next[turn].first, next[turn].second);
      }
    }
  }

  void measureLeaves(const Node& p, const Node& q) {
    for (int i = p.first; i < p.first + p.count; ++i) {
      for (int j = q.first; j < q.first + q.count; ++j) {
        const double off = thickness_ + errorOf(i, j);
        if (boxGap(pair_.a.boxOf(i), pair_.b.boxOf(j)) - off >= best_.at_least_mm || isSettled()) {
          continue;
        }
        const Separation found = separation(i, j, 0, 1, best_.at_least_mm + off);
        if (found.at_least_mm - off < best_.at_least_mm) {
          best_.at_least_mm = found.at_least_mm - off;
          best_.clearance_mm = found.distance_mm - thickness_;
          best_.error_mm = errorOf(i, j) + 2 * leg_.chord.deviation_mm;
          best_.at_mm = leg_.driveAt(found.at);
          best_.on_a = found.on_a;
          best_.on_b = found.on_b;
        }
      }
    }
  }

  const Wanted& wanted_;
  Clearance& best_;
};

/// Gathers where pieces are nearer than a limit; leaves out what is known already.
class BelowSearch : LegSearch {
 public:
  BelowSearch(const SweptPair& pair, const Leg& leg, double limit, Reading reading,
              std::vector<Stretch>& found)
      : LegSearch(pair, leg), limit_(limit), reading_(reading), found_(found) {
    search(0, 0);
  }

 private:
  double allowance(double error) const {
    switch (reading_) {
      case Reading::kLeast:
        return thickness_ + error;
      case Reading::kDrawn:
        return thickness_;
      case Reading::kMost:
        return thickness_ - error - 2 * leg_.chord.deviation_mm;
    }
    return thickness_;
  }

  /// Shares of the leg over which two boxes are within `reach` along every axis; none if never.
  std::optional<std::array<double, 2>> nearShares(const Bounds& box_a, const Bounds& box_b,
                                                  double reach) const {
    const Bounds a = sweptBox(box_a, pair_.a, leg_.stretch);
    const Bounds b = sweptBox(box_b, pair_.b, leg_.stretch);
    const Vec3 start = plus(pair_.apart, leg_.chord.from);
    const Vec3 run = minus(leg_.chord.to, leg_.chord.from);
    double from = 0;
    double to = 1;
    for (int axis = 0; axis < 3; ++axis) {
      const double room = reach + pair_.free[axis];
      const double low = a.low[axis] - b.high[axis] - start[axis] - room;
      const double high = a.high[axis] - b.low[axis] - start[axis] + room;
      if (run[axis] == 0) {
        if (low > 0 || high < 0) {
          return std::nullopt;
        }
        continue;
      }
      const auto [enter, leave] = std::minmax({low / run[axis], high / run[axis]});
      from = std::max(from, enter);
      to = std::min(to, leave);
    }
    if (from > to) {
      return std::nullopt;
    }
    return std::array<double, 2>{from, to};
  }

  bool isKnown(const std::array<double, 2>& shares) const {
    const double from = leg_.driveAt(shares[0]);
    const double to = leg_.driveAt(shares[1]);
    return std::any_of(found_.begin(), found_.end(), [&](const Stretch& known) {
      return known.from_mm <= from && to <= known.to_mm;
    });
  }

  void search(int i, int j) {
    const Node& p = pair_.a.nodes()[i];
    const Node& q = pair_.b.nodes()[j];
    const double error = reading_ == Reading::kLeast ? p.error_mm + q.error_mm : 0;
    const double reach = limit_ + thickness_ + error;
    const auto shares = nearShares(p.box, q.box, reach);
    if (!shares || boxGap(p.box, q.box) >= reach || isKnown(*shares)) {
      return;
    }
    if (p.left < 0 && q.left < 0) {
      measureLeaves(p, q);
      return;
    }
    // Nearer boxes first: their stretches are the longest and make the others known.
    const auto next = childrenOf(i, j);
    const bool second_first = gapOf(next[1]) < gapOf(next[0]);
    search(next[second_first].first, next[second_first].second);
    search(next[!second_first].first, next[!second_first].second);
  }

  void measureLeaves(const Node& p, const Node& q) {
    for (int i = p.first; i < p.first + p.count; ++i) {
      for (int j = q.first; j < q.first + q.count; ++j) {
        const double limit = limit_ + allowance(errorOf(i, j));
        const auto shares = nearShares(pair_.a.boxOf(i), pair_.b.boxOf(j), limit);
        if (limit > 0 && shares && !isKnown(*shares)) {
          measure(i, j, limit, *shares);
        }
      }
    }
  }

  void measure(int i, int j, double limit, const std::array<double, 2>& shares) {
    const Separation nearest = separation(i, j, shares[0], shares[1], limit);
    if (nearest.distance_mm >= limit) {
      return;
    }
    // The distance of two convex pieces is a convex function of travel: one stretch about `at`.
    const double inside = shares[0] + nearest.at * (shares[1] - shares[0]);
    std::array<double, 2> ends = shares;
    const auto known = std::find_if(found_.begin(), found_.end(), [&](const Stretch& one) {
      return one.from_mm <= leg_.driveAt(inside) && leg_.driveAt(inside) <= one.to_mm;
    });
    for (int side = 0; side < 2; ++side) {
      if (known != found_.end()) {
        // No further than what is known already, where it is too far away at the end of that.
        const double border = leg_.shareAt(side == 0 ? known->from_mm : known->to_mm);
        const bool ends_before = side == 0 ? shares[0] >= border : shares[1] <= border;
        if (ends_before || separation(i, j, border, border, limit).distance_mm >= limit) {
          ends[side] = border;
          continue;
        }
      }
      ends[side] = edge(i, j, limit, inside, shares[side]);
    }
    add({leg_.driveAt(ends[0]), leg_.driveAt(ends[1])});
  }

  double edge(int i, int j, double limit, double inside, double outside) const {
    if (separation(i, j, outside, outside, limit).distance_mm < limit) {
      return outside;
    }
    const double length = std::max(leg_.stretch.to_mm - leg_.stretch.from_mm, kStretchEndMm);
    while (std::abs(outside - inside) * length > kStretchEndMm) {
      const double middle = (inside + outside) / 2;
      const bool below = separation(i, j, middle, middle, limit).distance_mm < limit;
      (below ? inside : outside) = middle;
    }
    return inside;
  }

  void add(const Stretch& stretch) {
    found_.push_back(stretch);
    found_ = united(std::move(found_));
  }

  double limit_;
  Reading reading_;
  std::vector<Stretch>& found_;
};

}  // namespace

Chord StraightMotion::chord(const Stretch& stretch) const {
  return {plus({0, 0, 0}, velocity_, stretch.from_mm), plus({0, 0, 0}, velocity_, stretch.to_mm),
          0};
}

Clearance leastClearance(const SweptPair& pair, const Stretch& stretch, const Wanted& wanted) {
  Clearance best;
  best.at_least_mm = wanted.enough_mm;
  best.at_mm = stretch.from_mm;
  for (const Leg& leg : legsOf(pair.motion, stretch)) {
    LeastSearch(pair, leg, wanted, best);
  }
  return best;
}

std::vector<Stretch> stretchesBelow(const SweptPair& pair, const Stretch& stretch, double limit_mm,
                                    Reading reading) {
  std::vector<Stretch> found;
  for (const Leg& leg : legsOf(pair.motion, stretch)) {
    BelowSearch(pair, leg, limit_mm, reading, found);
  }
  return found;
}

std::vector<Stretch> united(std::vector<Stretch> stretches) {
  std::sort(stretches.begin(), stretches.end(), [](const Stretch& p, const Stretch& q) {
    return p.from_mm != q.from_mm ? p.from_mm < q.from_mm : p.to_mm < q.to_mm;
  });
  std::vector<Stretch> merged;
  for (const Stretch& next : stretches) {
    if (!merged.empty() && next.from_mm <= merged.back().to_mm + kSameStretchMm) {
      merged.back().to_mm = std::max(merged.back().to_mm, next.to_mm);
    } else {
      merged.push_back(next);
    }
  }
  return merged;
}

std::vector<Stretch> gapsBetween(const std::vector<Stretch>& taken, const Stretch& whole) {
  if (taken.empty()) {
    return {whole};  // however short
  }
  std::vector<Stretch> gaps;
  double from = whole.from_mm;
  for (const Stretch& one : taken) {
    if (one.from_mm > from) {
      gaps.push_back({from, one.from_mm});
    }
    from = std::max(from, one.to_mm);
  }
  if (whole.to_mm > from) {
    gaps.push_back({from, whole.to_mm});
  }
  return gaps;
}

}  // namespace leafstack
