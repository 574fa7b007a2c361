#include "generator/clash/contacts/engagement.h"

#include <algorithm>
#include <cmath>

#include "generator/clash/proof/proof.h"

namespace leafstack {
namespace {

/// How far one end of the core is inside, as the drive travels.
class Margin {
 public:
  Margin(const PlacedShapes& shapes, const Engagement& engagement, int outer)
      : shapes_(shapes), inner_(engagement.inner), outer_(outer), axis_(engagement.axis) {
    const Bounds& box = shapes.ownBounds(inner_);
    for (int axis = 0; axis < 3; ++axis) {
      middle_[axis] = (box.low[axis] + box.high[axis]) / 2;
    }
    half_mm_ = engagement.core_mm / 2 + shapes.playBetween(inner_, outer_)[axis_];
  }

  /// `sign` 1: past the low end; -1: past the high end.
  std::vector<Stretch> offPast(double end_mm, double sign) {
    end_mm_ = end_mm;
    sign_ = sign;
    off_.clear();
    const Stretch whole{0, shapes_.model().layout.drive_travel_mm};
    const auto velocity = shapes_.velocitySeenFrom(outer_, inner_);
    if (velocity) {
      addStraight(whole, sign * (*velocity)[axis_]);
    } else {
      addLegs(whole);
    }
    return united(off_);
  }

 private:
  double marginOf(const Vec3& middle) const {
    return sign_ * (middle[axis_] - end_mm_) - half_mm_ + kClearanceToleranceMm;
  }
  double at(double drive_mm) const {
    return marginOf(shapes_.seenFrom(outer_, inner_, drive_mm)(middle_));
  }

  void addStraight(const Stretch& whole, double per_mm) {
    const double closed = at(0);
    const double open = closed + per_mm * whole.to_mm;
    // The tolerance says whether it leaves, not where.
    const double leaves = (kClearanceToleranceMm - closed) / per_mm;
    if (closed < 0 && open < 0) {
      off_.push_back(whole);
    } else if (closed < 0) {
      off_.push_back({0, std::min(leaves, whole.to_mm)});
    } else if (open < 0) {
      off_.push_back({std::max(leaves, 0.0), whole.to_mm});
    }
  }

  /// Halved until the margin is surely kept, surely not, or all but straight.
  void addLegs(const Stretch& stretch) {
    // As closely as ends are found, where a margin changes as fast as the drive travels.
    constexpr double kStraightMm = kStretchEndMm;
    const int outer_body = shapes_.bodyOf(outer_);
    const int inner_body = shapes_.bodyOf(inner_);
    const Vec3 place = shapes_.place(inner_)(middle_);
    const auto [x, z] = shapes_.motions().pivot(inner_body);
    const double reach = std::hypot(place[0] - x, place[2] - z);
    const Chord chord = shapes_.motions().motion(outer_body, inner_body, reach).chord(stretch);
    const auto marginAt = [&](const Placement& motion) {
      return marginOf(seenFrom(shapes_.place(outer_), motion, shapes_.place(inner_))(middle_));
    };
    const double first = marginAt(chord.from);
    const double last = marginAt(chord.to);
    if (std::min(first, last) >= chord.deviation_mm) {
      return;
    }
    if (std::max(first, last) < -chord.deviation_mm) {
      off_.push_back(stretch);
      return;
    }
    if (chord.deviation_mm > kStraightMm && stretch.to_mm - stretch.from_mm > kStretchEndMm) {
      const double middle = (stretch.from_mm + stretch.to_mm) / 2;
      addLegs({stretch.from_mm, middle});
      addLegs({middle, stretch.to_mm});
    } else if (first < 0 && last < 0) {
      off_.push_back(stretch);
    } else if (first < 0) {
      off_.push_back({stretch.from_mm, crossing(stretch.to_mm, stretch.from_mm)});
    } else if (last < 0) {
      off_.push_back({crossing(stretch.from_mm, stretch.to_mm), stretch.to_mm});
    }
  }

  double crossing(double inside, double outside) const {
    while (std::abs(outside - inside) > kStretchEndMm) {
      const double middle = (inside + outside) / 2;
      (at(middle) < 0 ? outside : inside) = middle;
    }
    return outside;
  }

  const PlacedShapes& shapes_;
  int inner_, outer_, axis_;
  Vec3 middle_{};
  double half_mm_ = 0, end_mm_ = 0, sign_ = 1;
  std::vector<Stretch> off_;
};

}  // namespace

OffEnds whereOff(const PlacedShapes& shapes, const Engagement& engagement, int outer,
                 const Bounds& held_by) {
  Margin margin(shapes, engagement, outer);
  return {margin.offPast(held_by.low[engagement.axis], 1),
          margin.offPast(held_by.high[engagement.axis], -1)};
}

}  // namespace leafstack
