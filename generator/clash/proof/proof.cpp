#include "generator/clash/proof/proof.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace leafstack {
namespace {

// Where bodies turn: ends of stretches, and positions looked at.
constexpr double kSampledEndMm = 0.005;
constexpr int kSampledPositions = 400;
constexpr double kSampledStepMm = 2;  // no closer than this: bodies that turn do so over metres

constexpr Fineness kLevels[] = {Fineness::kCoarse, Fineness::kFine, Fineness::kFinest};

/// Could `inner` lie within `outer`? ShortStretches by the axes of outer's own frame along which
/// the inner's bounds are good: all where it leans alike, else only that across the track.
bool fitsInto(const PlacedShapes& shapes, int inner, int outer) {
  const Bounds& hold = shapes.ownBounds(outer);
  const Bounds held = shapes.boundsSeenFrom(outer, inner);
  const auto velocity = shapes.velocitySeenFrom(outer, inner);
  const bool all_good = velocity && shapes.leanAlike(outer, inner);
  for (int axis = 0; axis < 3; ++axis) {
    const bool stands = axis == kAlongY || (all_good && (*velocity)[axis] == 0);
    if (stands && (held.low[axis] < hold.low[axis] - kBoundsSlackMm ||
                   held.high[axis] > hold.high[axis] + kBoundsSlackMm)) {
      return false;
    }
    const double longer = (held.high[axis] - held.low[axis]) - (hold.high[axis] - hold.low[axis]);
    if (all_good && longer > 2 * kBoundsSlackMm) {
      return false;
    }
  }
  return true;
}

// Gaps between contacts that are looked into; a pair with more is in the way in any case.
constexpr int kGapsLookedAt = 100;

/// Surfaces that do not meet say nothing of a part wholly inside another. Between two contacts of
/// the surfaces that does not change, so one position of each gap tells.
void addContained(PlacedShapes& shapes, int a, int b, PairVerdict& verdict) {
  const auto boxes_meet = nearStretch(shapes, a, b, 0);
  if (!boxes_meet) {
    return;
  }
  if (!fitsInto(shapes, a, b) && !fitsInto(shapes, b, a)) {
    return;
  }
  int looked_at = 0;
  for (const Stretch& gap : gapsBetween(verdict.contact, *boxes_meet)) {
    const double middle = (gap.from_mm + gap.to_mm) / 2;
    if (++looked_at > kGapsLookedAt) {
      verdict.is_coarse = true;
      break;
    }
    if (isInside(shapes, {a, b}, middle)) {
      verdict.is_contained = true;
      verdict.contact.push_back(gap);
      verdict.below.push_back(gap);
    }
  }
  verdict.contact = united(std::move(verdict.contact));
  verdict.below = united(std::move(verdict.below));
}

/// How far the stretches would grow, were all mesh errors for the worse.
double endsWithin(const std::vector<Stretch>& drawn, const std::vector<Stretch>& widest) {
  double within = kStretchEndMm;
  for (const Stretch& wide : widest) {
    double first = wide.to_mm;
    double last = wide.to_mm;
    for (auto one = drawn.rbegin(); one != drawn.rend(); ++one) {
      if (one->from_mm >= wide.from_mm - kStretchEndMm &&
          one->to_mm <= wide.to_mm + kStretchEndMm) {
        last = first == wide.to_mm ? one->to_mm : last;
        first = one->from_mm;
      }
    }
    // A stretch that only the errors make is all doubt.
    within = std::max({within, first - wide.from_mm, wide.to_mm - last});
  }
  return within;
}

/// What of `perhaps` none of `surely`, which lies within it, covers.
std::vector<Stretch> openParts(const std::vector<Stretch>& perhaps,
                               const std::vector<Stretch>& surely) {
  std::vector<Stretch> open;
  for (const Stretch& one : perhaps) {
    std::vector<Stretch> taken;
    for (const Stretch& sure : surely) {
      if (sure.from_mm <= one.to_mm && sure.to_mm >= one.from_mm) {
        taken.push_back(sure);
      }
    }
    const auto gaps = gapsBetween(taken, one);
    open.insert(open.end(), gaps.begin(), gaps.end());
  }
  return open;
}

/// Where two instances that go straight are nearer than a limit, mesh by finer mesh: a finer one is
/// asked only where the errors of the coarser leave it open.
class BelowByMeshes {
 public:
  BelowByMeshes(PlacedShapes& shapes, const PairQuery& query, const Stretch& near, double limit_mm)
      : shapes_(shapes), query_(query), limit_mm_(limit_mm), perhaps_{near} {}

  /// To the next mesh.
  void refine(Fineness fineness) {
    if (is_asked_) {
      auto surely = search(Reading::kMost);
      perhaps_ = search(Reading::kLeast);
      surely_ = std::move(surely);
    }
    is_asked_ = true;
    query_.fineness = fineness;
  }
  std::vector<Stretch> drawn() { return search(Reading::kDrawn); }
  std::vector<Stretch> widest() { return search(Reading::kLeast); }

 private:
  std::vector<Stretch> search(Reading reading) {
    std::vector<Stretch> all = surely_;
    for (const Stretch& open : openParts(perhaps_, surely_)) {
      const auto found = stretchesBetween(shapes_, query_, open, limit_mm_, reading);
      all.insert(all.end(), found.begin(), found.end());
    }
    return united(std::move(all));
  }

  PlacedShapes& shapes_;
  PairQuery query_;
  double limit_mm_;
  bool is_asked_ = false;
  std::vector<Stretch> surely_, perhaps_;
};

/// What a pair that is too near is told of: where, and how closely that is known.
class ShortStretches {
 public:
  ShortStretches(PlacedShapes& shapes, const PairQuery& query, const Stretch& near, double limit_mm)
      : shapes_(shapes),
        query_(query),
        near_(near),
        limit_mm_(limit_mm),
        below_(shapes, query, near, limit_mm),
        contact_(shapes, query, near, kTouchMm) {}

  void find(PairVerdict& verdict) {
    if (near_.from_mm == near_.to_mm || !shapes_.motions().allStraight()) {
      query_.fineness = verdict.fineness;
      const double at = verdict.least.at_mm;
      verdict.below = sampledStretches(shapes_, query_, near_, limit_mm_, at);
      verdict.contact = verdict.least.at_least_mm > kTouchMm
                            ? std::vector<Stretch>{}
                            : sampledStretches(shapes_, query_, near_, kTouchMm, at);
      verdict.ends_within_mm =
          near_.from_mm == near_.to_mm ? 0 : kSampledEndMm;  // 0: nothing moves
      return;
    }
    below_.refine(verdict.fineness);
    contact_.refine(verdict.fineness);
    verdict.below = below_.drawn();
    verdict.contact = contact_.drawn();
    verdict.ends_within_mm = verdict.contact.empty()
                                 ? endsWithin(verdict.below, below_.widest())
                                 : endsWithin(verdict.contact, contact_.widest());
  }

  /// Once the effort is used up: all that may be too near, mesh errors included.
  void widen(PairVerdict& verdict) {
    if (shapes_.motions().allStraight() && near_.from_mm != near_.to_mm) {
      const std::vector<Stretch> widest = below_.widest();
      verdict.below.insert(verdict.below.end(), widest.begin(), widest.end());
      verdict.below = united(std::move(verdict.below));
    }
  }

 private:
  PlacedShapes& shapes_;
  PairQuery query_;
  Stretch near_;
  double limit_mm_;
  BelowByMeshes below_, contact_;
};

/// Two boxes and what becomes of the second as the drive travels, along the axes of the first.
struct BoxPair {
  Bounds a, b;
  Vec3 velocity{};  ///< of b, mm for every mm
  Vec3 free{};
};

struct NearWithin {
  double margin_mm = 0, free_mm = 0, travel_mm = 0;
};

double gapAlong(const Bounds& a, const Bounds& b, int axis) {
  return std::max(a.low[axis] - b.high[axis], b.low[axis] - a.high[axis]);
}

/// Along axes on which nothing moves the gaps add up; along each of the others b has to come as
/// near as they leave.
std::optional<Stretch> nearStraight(const BoxPair& boxes, const NearWithin& within) {
  const double margin_mm = within.margin_mm;
  double across = 0;
  for (int axis = 0; axis < 3; ++axis) {
    if (boxes.velocity[axis] == 0) {
      const double gap = gapAlong(boxes.a, boxes.b, axis) - boxes.free[axis];
      across += gap > 0 ? gap * gap : 0;
    }
  }
  if (across > margin_mm * margin_mm) {
    return std::nullopt;
  }
  Stretch stretch{0, within.travel_mm};
  for (int axis = 0; axis < 3; ++axis) {
    const double per_mm = boxes.velocity[axis];
    if (per_mm != 0) {
      const double along = std::sqrt(margin_mm * margin_mm - across) + boxes.free[axis];
      const auto [enter, leave] =
          std::minmax({(boxes.a.low[axis] - along - boxes.b.high[axis]) / per_mm,
                       (boxes.a.high[axis] + along - boxes.b.low[axis]) / per_mm});
      stretch = {std::max(enter, stretch.from_mm), std::min(leave, stretch.to_mm)};
    }
  }
  return stretch.from_mm <= stretch.to_mm ? std::optional(stretch) : std::nullopt;
}

/// The same from the frame of `a`, in which what leans like it fits its bounds.
std::optional<Stretch> nearSeenFrom(const PlacedShapes& shapes, int a, int b, const Vec3& velocity,
                                    const NearWithin& within) {
  const Placement& frame = shapes.place(a);
  // A cube of play that is turned reaches further.
  const double turned = within.free_mm * (std::abs(frame.cos) + std::abs(frame.sin));
  const BoxPair boxes{
      shapes.ownBounds(a), shapes.boundsSeenFrom(a, b), velocity, {turned, within.free_mm, turned}};
  return nearStraight(boxes, within);
}

std::optional<Stretch> nearOfBoth(const PlacedShapes& shapes, int a, int b,
                                  const NearWithin& within) {
  const auto near = nearSeenFrom(shapes, a, b, *shapes.velocitySeenFrom(a, b), within);
  if (!near || shapes.leanAlike(a, b)) {
    return near;
  }
  const auto other = nearSeenFrom(shapes, b, a, *shapes.velocitySeenFrom(b, a), within);
  if (!other) {
    return std::nullopt;
  }
  const Stretch both{std::max(near->from_mm, other->from_mm), std::min(near->to_mm, other->to_mm)};
  return both.from_mm <= both.to_mm ? std::optional(both) : std::nullopt;
}

// Straight stretches over which bounds are looked at: what a straight stretch deviates by is as
// much less that they tell.
constexpr double kBoxDeviationMm = 1;
// So short a straight stretch is near, whatever it deviates by.
constexpr double kShortestMm = 0.01;

double boxGap(const Bounds& a, const Bounds& b) {
  double squared = 0;
  for (int axis = 0; axis < 3; ++axis) {
    const double gap = std::max(0.0, gapAlong(a, b, axis));
    squared += gap * gap;
  }
  return std::sqrt(squared);
}

/// Straight stretches of a motion that turns over which b's bounds come within a margin of a's, in
/// a's own frame.
class NearStretches {
 public:
  NearStretches(const PlacedShapes& shapes, int a, int b, double margin_mm)
      : shapes_(shapes), a_(a), b_(b), margin_mm_(margin_mm), motion_(shapes.motion(a, b)) {}

  void look(const Stretch& stretch) {
    const Chord chord = motion_.chord(stretch);
    Bounds box = placedAt(chord.from);
    const Bounds last = placedAt(chord.to);
    include(box, last.low);
    include(box, last.high);
    if (boxGap(shapes_.ownBounds(a_), box) > margin_mm_ + chord.deviation_mm) {
      return;
    }
    if (chord.deviation_mm <= kBoxDeviationMm || stretch.to_mm - stretch.from_mm <= kShortestMm) {
      found_ = found_ ? Stretch{std::min(found_->from_mm, stretch.from_mm),
                                std::max(found_->to_mm, stretch.to_mm)}
                      : stretch;
      return;
    }
    const double middle = (stretch.from_mm + stretch.to_mm) / 2;
    look({stretch.from_mm, middle});
    look({middle, stretch.to_mm});
  }
  const std::optional<Stretch>& found() const { return found_; }

 private:
  Bounds placedAt(const Placement& motion) const {
    return placedBox(seenFrom(shapes_.place(a_), motion, shapes_.place(b_)), shapes_.ownBounds(b_));
  }

  const PlacedShapes& shapes_;
  int a_, b_;
  double margin_mm_;
  BodyMotion motion_;
  std::optional<Stretch> found_;
};

}  // namespace

std::optional<Stretch> nearStretch(const PlacedShapes& shapes, int a, int b, double margin_mm,
                                   double free_mm) {
  const Bounds& p = shapes.bounds(a);
  const Bounds& q = shapes.bounds(b);
  // Nothing moves across the track.
  if (gapAlong(p, q, kAlongY) - free_mm > margin_mm) {
    return std::nullopt;
  }
  const double travel = shapes.model().layout.drive_travel_mm;
  const int body_a = shapes.bodyOf(a);
  const int body_b = shapes.bodyOf(b);
  if (!shapes.motions().isStraight(body_a, body_b)) {
    // A cube of play, however turned, is in a ball.
    NearStretches near(shapes, a, b, margin_mm + std::sqrt(3.0) * free_mm);
    near.look({0, travel});
    return near.found();
  }
  const NearWithin within{margin_mm, free_mm, travel};
  const bool leans = shapes.place(a).turns() || shapes.place(b).turns();
  auto near =
      leans ? nearOfBoth(shapes, a, b, within)
            : nearStraight(
                  {p, q, shapes.motions().velocity(body_a, body_b), {free_mm, free_mm, free_mm}},
                  within);
  if (near && !shapes.changes(a, b)) {
    near->to_mm = 0;
  }
  return near;
}

std::vector<Stretch> sampledStretches(PlacedShapes& shapes, const PairQuery& query,
                                      const Stretch& stretch, double limit_mm, double at_mm) {
  if (shapes.motions().allStraight() || stretch.from_mm == stretch.to_mm) {
    return stretchesBetween(shapes, query, stretch, limit_mm, Reading::kDrawn);
  }
  constexpr double kNever = -std::numeric_limits<double>::infinity();
  const auto is_spent = [&] { return query.effort != nullptr && query.effort->isCut(); };
  const auto isBelow = [&](double drive) {
    const Clearance there =
        leastBetween(shapes, query, {drive, drive}, {limit_mm, kNever, limit_mm});
    return there.clearance_mm < limit_mm || (is_spent() && there.at_least_mm < limit_mm);
  };
  std::vector<double> positions = {std::clamp(at_mm, stretch.from_mm, stretch.to_mm)};
  const double length = stretch.to_mm - stretch.from_mm;
  const int count = std::clamp(static_cast<int>(length / kSampledStepMm), 20, kSampledPositions);
  for (int i = 0; i <= count; ++i) {
    positions.push_back(stretch.from_mm + length * i / count);
  }
  std::sort(positions.begin(), positions.end());
  const auto edge = [&](double below, double above) {
    while (std::abs(above - below) > kSampledEndMm && !is_spent()) {
      const double middle = (below + above) / 2;
      (isBelow(middle) ? below : above) = middle;
    }
    return is_spent() ? above : below;
  };
  std::vector<Stretch> told;
  bool was_below = false;
  for (std::size_t i = 0; i < positions.size(); ++i) {
    const bool is_below = isBelow(positions[i]);
    if (is_below && !was_below) {
      told.push_back({i == 0 ? positions[i] : edge(positions[i], positions[i - 1]), positions[i]});
    } else if (is_below) {
      told.back().to_mm = positions[i];
    } else if (was_below) {
      told.back().to_mm = edge(positions[i - 1], positions[i]);
    }
    was_below = is_below;
  }
  return united(std::move(told));
}

namespace {

/// Where the effort ran out before anything was measured: one position tells from above.
void measureOnce(PlacedShapes& shapes, const PairQuery& query, const Stretch& near,
                 Clearance& least) {
  if (std::isfinite(least.clearance_mm)) {
    return;
  }
  const double at_least = least.at_least_mm;
  least = leastBetween(shapes, {.a = query.a, .b = query.b}, {near.from_mm, near.from_mm},
                       {.enough_mm = std::numeric_limits<double>::infinity()});
  least.at_least_mm = std::min(at_least, least.at_least_mm);
}

/// Across the track nothing moves, and panels lean only along it: what lies apart there by its
/// bounds, which no mesh blurs, stays so. Negative where they overlap.
double gapAcrossMm(const PlacedShapes& shapes, int a, int b) {
  const Bounds& one = shapes.bounds(a);
  const Bounds& other = shapes.bounds(b);
  return std::max(other.low[1] - one.high[1], one.low[1] - other.high[1]);
}

/// What of a coarsely told pair is sure: that it meets only where the least clearance says so.
void judgeCoarse(const Stretch& near, double limit_mm, PairVerdict& verdict) {
  const Clearance& least = verdict.least;
  const double at_most = least.clearance_mm + least.error_mm;
  const bool is_open = at_most >= limit_mm || (!verdict.contact.empty() && at_most > kTouchMm);
  verdict.is_coarse = true;
  verdict.ends_within_mm = near.to_mm - near.from_mm;
  verdict.state = is_open ? PairState::kUnresolved : PairState::kShort;
  if (verdict.below.empty()) {
    verdict.below = {near};
  }
}

}  // namespace

PairVerdict judgePair(PlacedShapes& shapes, const AskedPair& pair, Effort& effort) {
  const auto [a, b] = std::pair(pair.a, pair.b);
  const Stretch& near = pair.near;
  const auto limitFor = [](double required_mm) {
    return std::max(required_mm - kClearanceToleranceMm, kTouchMm);
  };
  const auto enoughFor = [&](double limit_mm) {
    return shapes.isOneBody(a, b) ? limit_mm : std::max(limit_mm, kMeasureWithinMm);
  };
  // As drawn with room for its play any way, which is quick; else with that play itself.
  const double as_asked = limitFor(pair.required_mm);
  const std::pair<Vec3, Fineness> tries[] = {{{}, Fineness::kCoarse},
                                             {pair.free, Fineness::kCoarse},
                                             {pair.free, Fineness::kFine},
                                             {pair.free, Fineness::kFinest}};
  for (std::size_t i = 0; pair.free != Vec3{} && i < std::size(tries) && !effort.isCut(); ++i) {
    const auto& [free, fineness] = tries[i];
    const double asked = i == 0 ? limitFor(pair.widestMm()) : as_asked;
    PairVerdict proved;
    proved.fineness = fineness;
    const PairQuery tried{.a = a, .b = b, .fineness = fineness, .free = free, .effort = &effort};
    proved.least = leastBetween(shapes, tried, near, {enoughFor(asked)});
    proved.least.at_least_mm = std::max(proved.least.at_least_mm, gapAcrossMm(shapes, a, b));
    if (proved.least.at_least_mm >= asked) {
      addContained(shapes, a, b, proved);
      if (!proved.is_contained && !proved.is_coarse) {
        return proved;
      }
    }
    if (i > 0 && proved.least.clearance_mm + proved.least.error_mm < asked) {
      break;
    }
  }
  PairVerdict verdict;
  const double limit = limitFor(pair.widestMm());
  const double enough = enoughFor(limit);
  PairQuery query{.a = a, .b = b, .effort = &effort};
  ShortStretches told(shapes, query, near, limit);
  for (Fineness level : kLevels) {
    query.fineness = verdict.fineness = level;
    verdict.least = leastBetween(shapes, query, near, {enough});
    verdict.least.at_least_mm = std::max(verdict.least.at_least_mm, gapAcrossMm(shapes, a, b));
    if (verdict.least.at_least_mm >= limit) {
      break;
    }
    const bool is_last = level == Fineness::kFinest;
    const bool surely_short = verdict.least.clearance_mm + verdict.least.error_mm < limit;
    if (!surely_short && !is_last && !effort.isCut()) {
      continue;  // the mesh's error decides: refine it
    }
    told.find(verdict);
    if (effort.isCut()) {
      told.widen(verdict);
      measureOnce(shapes, query, near, verdict.least);
      judgeCoarse(near, limit, verdict);
      break;
    }
    // Ends that are not sure enough yet are worth no more than half of the effort.
    const bool is_dear = surely_short && effort.taken() > effort.left();
    if (verdict.ends_within_mm <= pair.ends_within_mm || is_last || is_dear) {
      verdict.state = verdict.below.empty() ? PairState::kUnresolved : PairState::kShort;
      break;
    }
  }
  addContained(shapes, a, b, verdict);
  if (verdict.is_contained) {
    verdict.state = PairState::kShort;
    verdict.least.clearance_mm = verdict.least.at_least_mm = 0;
    verdict.least.at_mm = (verdict.contact.front().from_mm + verdict.contact.front().to_mm) / 2;
  }
  return verdict;
}

}  // namespace leafstack
