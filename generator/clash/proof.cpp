#include "generator/clash/proof.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

// Stretches whose ends are less sure than this are looked for on finer meshes.
constexpr double kEndsWithinMm = 0.005;

constexpr Fineness kLevels[] = {Fineness::kCoarse, Fineness::kFine, Fineness::kFinest};

bool isWithin(const Bounds& inner, const Bounds& outer, int axis) {
  return inner.low[axis] >= outer.low[axis] && inner.high[axis] <= outer.high[axis];
}

bool fitsAcross(const Bounds& inner, const Bounds& outer) {
  return isWithin(inner, outer, 1) && isWithin(inner, outer, 2) &&
         inner.high[0] - inner.low[0] <= outer.high[0] - outer.low[0];
}

/// Surfaces that do not meet say nothing of a part wholly inside another. Between two contacts of
/// the surfaces that does not change, so one position of each gap tells.
void addContained(PlacedShapes& shapes, int a, int b, PairVerdict& verdict) {
  const auto boxes_meet = nearStretch(shapes, a, b, 0);
  if (!boxes_meet) {
    return;
  }
  const bool could_be = fitsAcross(shapes.bounds(a), shapes.bounds(b)) ||
                        fitsAcross(shapes.bounds(b), shapes.bounds(a));
  if (!could_be) {
    return;
  }
  for (const Stretch& gap : gapsBetween(verdict.contact, *boxes_meet)) {
    const double middle = (gap.from_mm + gap.to_mm) / 2;
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

void findStretches(PlacedShapes& shapes, int a, int b, double limit, const Stretch& near,
                   PairVerdict& verdict) {
  const auto stretches = [&](double below, Reading reading) {
    return stretchesBetween(shapes, {a, b, verdict.fineness}, near, below, reading);
  };
  verdict.below = stretches(limit, Reading::kDrawn);
  verdict.contact = stretches(kTouchMm, Reading::kDrawn);
  if (near.from_mm == near.to_mm) {
    verdict.ends_within_mm = 0;  // nothing moves
    return;
  }
  verdict.ends_within_mm = verdict.contact.empty()
                               ? endsWithin(verdict.below, stretches(limit, Reading::kLeast))
                               : endsWithin(verdict.contact, stretches(kTouchMm, Reading::kLeast));
}

}  // namespace

std::optional<Stretch> nearStretch(const PlacedShapes& shapes, int a, int b, double margin_mm,
                                   double free_mm) {
  const Bounds& p = shapes.bounds(a);
  const Bounds& q = shapes.bounds(b);
  double across = 0;
  for (int axis = 1; axis < 3; ++axis) {
    const double gap = std::max(p.low[axis] - q.high[axis], q.low[axis] - p.high[axis]) - free_mm;
    across += gap > 0 ? gap * gap : 0;
  }
  if (across > margin_mm * margin_mm) {
    return std::nullopt;
  }
  const double along = std::sqrt(margin_mm * margin_mm - across) + free_mm;
  const double low = p.low[0] - along - q.high[0];
  const double high = p.high[0] + along - q.low[0];
  const double travel = shapes.model().layout.drive_travel_mm;
  const double per_mm = shapes.relativeShift(a, b, 1);
  if (per_mm == 0) {
    const bool changes = shapes.isRope(a) || shapes.isRope(b);
    return low <= 0 && high >= 0 ? std::optional(Stretch{0, changes ? travel : 0}) : std::nullopt;
  }
  const auto [enter, leave] = std::minmax({low / per_mm, high / per_mm});
  const Stretch stretch{std::max(enter, 0.0), std::min(leave, travel)};
  return stretch.from_mm <= stretch.to_mm ? std::optional(stretch) : std::nullopt;
}

PairVerdict judgePair(PlacedShapes& shapes, int a, int b, double required_mm, const Stretch& near) {
  PairVerdict verdict;
  const double limit = std::max(required_mm - kClearanceToleranceMm, kTouchMm);
  const double enough = shapes.isOneBody(a, b) ? limit : std::max(limit, kMeasureWithinMm);
  for (Fineness level : kLevels) {
    verdict.fineness = level;
    verdict.least = leastBetween(shapes, {a, b, level}, near, {enough});
    if (verdict.least.at_least_mm >= limit) {
      break;
    }
    const bool is_last = level == Fineness::kFinest;
    const bool surely_short = verdict.least.clearance_mm + verdict.least.error_mm < limit;
    if (!surely_short && !is_last) {
      continue;  // the mesh's error decides: refine it
    }
    findStretches(shapes, a, b, limit, near, verdict);
    if (verdict.ends_within_mm <= kEndsWithinMm || is_last) {
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
