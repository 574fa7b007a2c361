#include "generator/geometry/moving/sweep.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "generator/geometry/moving/pieces_near.h"

namespace leafstack {
namespace {

constexpr double kNoLimit = std::numeric_limits<double>::infinity();

/// Depth first, nearer boxes first.
class LeastSearch : SweptTrees {
 public:
  LeastSearch(const SweptPair& pair, const StraightStretch& straight, const Wanted& wanted,
              Clearance& best, Culprits& culprits)
      : SweptTrees(pair, straight), wanted_(wanted), best_(best), culprits_(culprits) {}

  void run() { search(0, 0); }
  bool isFar() const {
    return isHopeless(pair_.a.nodes()[0], pair_.b.nodes()[0], gapOf({0, 0})) ||
           ApartProof(pair_, stretch_, best_.at_least_mm, true, culprits_).holds();
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
    if (!take(2 * kBoxSteps)) {
      return leave(gapOf({i, j}) - thickness_ - p.error_mm - q.error_mm);
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

  /// What is not looked at may be as near as its boxes.
  void leave(double at_least_mm) { best_.at_least_mm = std::min(best_.at_least_mm, at_least_mm); }

  void measureLeaves(const Node& p, const Node& q) {
    if (!take(kBoxSteps * p.count * q.count)) {
      return leave(boxGap(p.box, q.box) - thickness_ - p.error_mm - q.error_mm);
    }
    for (int i = p.first; i < p.first + p.count; ++i) {
      for (int j = q.first; j < q.first + q.count; ++j) {
        const double off = thickness_ + errorOf(i, j);
        if (boxGap(pair_.a.boxOf(i), pair_.b.boxOf(j)) - off >= best_.at_least_mm || isSettled()) {
          continue;
        }
        measure(i, j, off, {0, 1});
      }
    }
  }

  void measure(int i, int j, double off, const Shares& part) {
    if (!take(kPieceSteps)) {
      return leave(boxGap(pair_.a.boxOf(i), pair_.b.boxOf(j)) - off);
    }
    if (areSurelyApart(i, j, part, best_.at_least_mm + off)) {
      return;
    }
    Separation found = separation(i, j, part, best_.at_least_mm + off);
    if (found.at_least_mm - off >= best_.at_least_mm) {
      return;
    }
    const double swept = found.distance_mm;
    const double at = part[0] + found.at * (part[1] - part[0]);
    if (isLoose()) {
      // The swept hulls may be nearer than the pieces are anywhere.
      const Separation there = separation(i, j, {at, at}, kNoLimit);
      if (!isTight(there.distance_mm - found.at_least_mm, part)) {
        const double middle = (part[0] + part[1]) / 2;
        measure(i, j, off, {part[0], middle});
        if (!isSettled()) {
          measure(i, j, off, {middle, part[1]});
        }
        return;
      }
      found.distance_mm = there.distance_mm;
      found.on_a = there.on_a;
      found.on_b = there.on_b;
    }
    culprits_ = {i, j};
    best_.at_least_mm = found.at_least_mm - off;
    best_.clearance_mm = found.distance_mm - thickness_;
    best_.error_mm = errorOf(i, j) + 2 * stretch_.deviation_mm + (found.distance_mm - swept);
    best_.at_mm = stretch_.driveAt(at);
    best_.on_a = found.on_a;
    best_.on_b = found.on_b;
  }

  const Wanted& wanted_;
  Clearance& best_;
  Culprits& culprits_;
};

/// Gathers where pieces are nearer than a limit; leaves out what is known already.
class BelowSearch : SweptTrees {
 public:
  BelowSearch(const SweptPair& pair, const StraightStretch& straight, double limit, Reading reading,
              std::vector<Stretch>& found, Culprits& culprits)
      : SweptTrees(pair, straight),
        limit_(limit),
        reading_(reading),
        found_(found),
        culprits_(culprits) {}

  void run() {
    followHits();
    search(0, 0);
  }
  bool isFar() const {
    const Node& p = pair_.a.nodes()[0];
    const Node& q = pair_.b.nodes()[0];
    if (boxGap(p.box, q.box) >= reachOf(p, q)) {
      return true;
    }
    const auto shares = nearShares(p.box, q.box, reachOf(p, q));
    return !shares || !isOpen(*shares) ||
           ApartProof(pair_, stretch_, limit_, reading_ == Reading::kLeast, culprits_).holds();
  }

 private:
  double allowance(double error) const {
    switch (reading_) {
      case Reading::kLeast:
        return thickness_ + error;
      case Reading::kDrawn:
        return thickness_ - stretch_.deviation_mm;
      case Reading::kMost:
        return thickness_ - error - 2 * stretch_.deviation_mm;
    }
    return thickness_;
  }

  double reachOf(const Node& p, const Node& q) const {
    return limit_ + thickness_ + (reading_ == Reading::kLeast ? p.error_mm + q.error_mm : 0);
  }

  /// The parts of `shares` of which nothing is known yet. Beside what is known, parts no longer
  /// than ends are told apart count as known too.
  std::vector<Shares> openIn(const Shares& shares) const {
    double from = stretch_.driveAt(shares[0]);
    const double last = stretch_.driveAt(shares[1]);
    std::vector<Shares> open;
    bool is_beside_known = false;
    for (const Stretch& known : found_) {
      if (known.to_mm < from || known.from_mm > last) {
        continue;
      }
      if (known.from_mm - from > kStretchEndMm) {
        open.push_back({stretch_.shareAt(from), stretch_.shareAt(known.from_mm)});
      }
      from = known.to_mm;
      is_beside_known = true;
    }
    if (!is_beside_known) {
      open.push_back(shares);
    } else if (last - from > kStretchEndMm) {
      open.push_back({stretch_.shareAt(from), stretch_.shareAt(last)});
    }
    return open;
  }

  /// What stays near over most of the stretch, as contacts do, becomes known from hit to hit; what
  /// is then open, and all else, is searched for.
  void followHits() {
    if (reading_ != Reading::kLeast) {
      return;
    }
    constexpr int kMostHits = 100;
    double from = 0;
    for (int hits = 0; hits < kMostHits; ++hits) {
      const std::vector<Shares> open = openIn({from, 1});
      if (open.empty()) {
        return;
      }
      // Just past the end of the last hit, where its pieces are no longer near.
      const double drive = std::min(stretch_.driveAt(open.front()[0]) + 2 * kStretchEndMm,
                                    stretch_.driveAt(open.front()[1]));
      const auto [i, j] =
          HitSearch(pair_, stretch_.clipped({drive, drive}), limit_, true).run(culprits_);
      if (i < 0) {
        return;
      }
      measure(i, j, limit_ + allowance(errorOf(i, j)), open.front());
      const std::vector<Shares> left = openIn({open.front()[0], 1});
      if (left.empty() || left.front()[0] <= open.front()[0]) {
        return;
      }
      from = open.front()[0];
    }
  }

  /// Whether openIn() has any. Asked at every step.
  bool isOpen(const Shares& shares) const {
    const double first = stretch_.driveAt(shares[0]);
    const double last = stretch_.driveAt(shares[1]);
    double from = first;
    bool is_beside_known = false;
    for (const Stretch& known : found_) {
      if (known.to_mm < from || known.from_mm > last) {
        continue;
      }
      if (known.from_mm - from > kStretchEndMm) {
        return true;
      }
      from = known.to_mm;
      is_beside_known = true;
    }
    return !is_beside_known || last - from > kStretchEndMm;
  }

  void search(int i, int j) {
    const Node& p = pair_.a.nodes()[i];
    const Node& q = pair_.b.nodes()[j];
    const double reach = reachOf(p, q);
    if (boxGap(p.box, q.box) >= reach) {
      return;
    }
    const auto shares = nearShares(p.box, q.box, reach);
    if (!shares || !isOpen(*shares)) {
      return;
    }
    if (!take(2 * kBoxSteps)) {
      return leave(*shares);
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

  /// What is not looked at is too near as far as its boxes are, unless it has to be so surely.
  void leave(const Shares& shares) {
    if (reading_ != Reading::kMost) {
      add({stretch_.driveAt(shares[0]), stretch_.driveAt(shares[1])});
    }
  }

  void measureLeaves(const Node& p, const Node& q) {
    if (!take(kBoxSteps * p.count * q.count)) {
      const auto shares = nearShares(p.box, q.box, reachOf(p, q));
      return shares ? leave(*shares) : void();
    }
    for (int i = p.first; i < p.first + p.count; ++i) {
      for (int j = q.first; j < q.first + q.count; ++j) {
        const double limit = limit_ + allowance(errorOf(i, j));
        if (limit <= 0 || boxGap(pair_.a.boxOf(i), pair_.b.boxOf(j)) > limit) {
          continue;
        }
        const auto shares = nearShares(pair_.a.boxOf(i), pair_.b.boxOf(j), limit);
        if (shares && isOpen(*shares)) {
          measureOpen(i, j, limit, *shares);
        }
      }
    }
  }

  void measureOpen(int i, int j, double limit, const Shares& shares) {
    for (const Shares& open : openIn(shares)) {
      measure(i, j, limit, open);
    }
  }

  /// `limit` for the distance of the pieces at one position. On a loose straight stretch the swept
  /// hulls' is less by up to the looseness: searched for with enough to spare, found by distances
  /// at positions.
  void measure(int i, int j, double limit, const Shares& shares) {
    if (!take(kPieceSteps)) {
      return leave(shares);
    }
    if (areSurelyApart(i, j, shares, limit)) {
      return;
    }
    const double loose = looseness(i, j, shares);
    const Separation nearest = separation(i, j, shares, limit);
    if (nearest.distance_mm >= limit) {
      return;
    }
    if (!isTight(loose, shares)) {
      const double middle = (shares[0] + shares[1]) / 2;
      for (const Shares& half : {Shares{shares[0], middle}, Shares{middle, shares[1]}}) {
        measureOpen(i, j, limit, half);
      }
      return;
    }
    const double spare = reading_ == Reading::kLeast  ? loose
                         : reading_ == Reading::kMost ? -loose
                                                      : 0;
    if (loose == 0 || nearest.distance_mm < limit + spare - loose) {
      culprits_ = {i, j};
      addAbout(i, j, limit + spare, shares, nearest.at);
    }
  }

  /// The distance of two convex pieces is a convex function of travel: one stretch about `at`.
  void addAbout(int i, int j, double limit, const Shares& shares, double at) {
    const double inside = shares[0] + at * (shares[1] - shares[0]);
    add({stretch_.driveAt(edge(i, j, limit, inside, shares[0])),
         stretch_.driveAt(edge(i, j, limit, inside, shares[1]))});
  }

  double distanceAt(int i, int j, double at, double limit) const {
    return separation(i, j, {at, at}, limit).distance_mm;
  }

  double edge(int i, int j, double limit, double inside, double outside) const {
    double above = distanceAt(i, j, outside, limit) - limit;
    if (above < 0) {
      return outside;
    }
    double below = distanceAt(i, j, inside, limit) - limit;
    const double length =
        std::max(stretch_.stretch.to_mm - stretch_.stretch.from_mm, kStretchEndMm);
    constexpr double kSmallestShare = 0.02;  // a false position is taken no closer to an end
    for (int turn = 0; std::abs(outside - inside) * length > kStretchEndMm; ++turn) {
      if (!take(kPieceSteps)) {
        return reading_ == Reading::kMost ? inside : outside;
      }
      // False position, now just beyond it, now just before, so that both ends close in on it; and
      // halved every third time.
      const double share = above - below > 0 ? -below / (above - below) : 0.5;
      const double near_end = kStretchEndMm / length / std::abs(outside - inside) / 2;
      const double least = std::min(0.5, std::min(kSmallestShare, near_end));
      const double aside = turn % 3 == 0 ? least : -least;
      const double at = turn % 3 == 2 ? 0.5 : std::clamp(share + aside, least, 1 - least);
      const double middle = inside + at * (outside - inside);
      const double there = distanceAt(i, j, middle, limit) - limit;
      (there < 0 ? inside : outside) = middle;
      (there < 0 ? below : above) = there;
    }
    return inside;
  }

  void add(const Stretch& stretch) {
    found_.push_back(stretch);
    found_ = united(std::move(found_), kStretchEndMm);
  }

  double limit_;
  Reading reading_;
  std::vector<Stretch>& found_;
  Culprits& culprits_;
};

}  // namespace

Clearance leastClearance(const SweptPair& pair, const Stretch& stretch, const Wanted& wanted) {
  Clearance best;
  Culprits culprits;
  best.at_least_mm = wanted.enough_mm;
  best.at_mm = stretch.from_mm;
  visitStraightStretches(
      pair, stretch,
      [&](const StraightStretch& straight) {
        return LeastSearch(pair, straight, wanted, best, culprits).isFar();
      },
      [&](const StraightStretch& straight) {
        LeastSearch(pair, straight, wanted, best, culprits).run();
      });
  return best;
}

std::vector<Stretch> stretchesBelow(const SweptPair& pair, const Stretch& stretch, double limit_mm,
                                    Reading reading) {
  std::vector<Stretch> found;
  Culprits culprits;
  visitStraightStretches(
      pair, stretch,
      [&](const StraightStretch& straight) {
        return BelowSearch(pair, straight, limit_mm, reading, found, culprits).isFar();
      },
      [&](const StraightStretch& straight) {
        BelowSearch(pair, straight, limit_mm, reading, found, culprits).run();
      });
  return found;
}

std::vector<Stretch> united(std::vector<Stretch> stretches, double apart_mm) {
  std::sort(stretches.begin(), stretches.end(), [](const Stretch& p, const Stretch& q) {
    return p.from_mm != q.from_mm ? p.from_mm < q.from_mm : p.to_mm < q.to_mm;
  });
  std::vector<Stretch> merged;
  for (const Stretch& next : stretches) {
    if (!merged.empty() && next.from_mm <= merged.back().to_mm + apart_mm) {
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
