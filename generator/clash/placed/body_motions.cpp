#include "generator/clash/placed/body_motions.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace leafstack {
namespace {

constexpr double kUnbounded = std::numeric_limits<double>::infinity();

Range negated(const Range& range) {
  return {-range.high, -range.low};
}

Range difference(const Range& p, const Range& q) {
  return {p.low - q.high, p.high - q.low};
}

double width(const Range& range) {
  return range.high - range.low;
}

double greatest(const Range& range) {
  return std::max(std::abs(range.low), std::abs(range.high));
}

}  // namespace

class BentStretches {
 public:
  BentStretches(const Model& model, const BodyMotions& motions, int a, int b)
      : model_(model), motions_(motions), a_(a), b_(b) {}

  Chord chord(const Stretch& stretch, double reach_mm) const {
    const Known known = knownOrFound(stretch);
    Chord chord = known.chord;
    const double turned = known.deviation_per_reach * reach_mm;
    chord.deviation_mm = std::isfinite(turned) ? chord.deviation_mm + turned : kUnbounded;
    return chord;
  }

  Chord turning(const Stretch& stretch, double reach_mm) const {
    const Known known = knownOrFound(stretch);
    Chord turn;
    turn.from = {{}, known.chord.from.cos, known.chord.from.sin};
    turn.to = {{}, known.chord.to.cos, known.chord.to.sin};
    turn.deviation_mm = known.deviation_per_reach * reach_mm;
    return turn;
  }

  double travelMm() const { return model_.layout.drive_travel_mm; }

 private:
  struct Known {
    Chord chord;
    double deviation_per_reach = 0;
  };

  /// Two threads may find the same at once: it is the same.
  Known knownOrFound(const Stretch& stretch) const {
    const std::pair key(stretch.from_mm, stretch.to_mm);
    {
      const std::lock_guard lock(mutex_);
      const auto at = known_.find(key);
      if (at != known_.end()) {
        return at->second;
      }
    }
    const Known found = straightStretchOf(stretch);
    const std::lock_guard lock(mutex_);
    known_.emplace(key, found);
    return found;
  }

  TravelRates ratesOf(int body, const Stretch& stretch) const {
    TravelRates rates = model_.travels.at(body)->rates(stretch.from_mm, stretch.to_mm);
    if (model_.opening_sign < 0) {
      rates.x = negated(rates.x);
      rates.turn = negated(rates.turn);
    }
    return rates;
  }

  /// From a's pivot to b's.
  double pivotsApart(double drive_mm) const {
    const auto placed = [&](int body) {
      const auto [x, z] = motions_.pivot(body);
      return motions_.at(body, drive_mm)({x, 0, z});
    };
    return norm(minus(placed(b_), placed(a_)));
  }

  /// See the header.
  Known straightStretchOf(const Stretch& stretch) const {
    const double length = stretch.to_mm - stretch.from_mm;
    const TravelRates a = ratesOf(a_, stretch);
    const TravelRates b = ratesOf(b_, stretch);
    const Range dx = difference(b.x, a.x);
    const Range dz = difference(b.z, a.z);
    const Range turn = difference(b.turn, a.turn);
    const double speed = std::hypot(greatest(dx), greatest(dz));
    const double turn_a = greatest(a.turn);
    const double apart =
        std::max(pivotsApart(stretch.from_mm), pivotsApart(stretch.to_mm)) + speed * length / 2;
    const double pivots = std::hypot(width(dx), width(dz)) + width(a.turn) * apart +
                          length * turn_a * speed + length * turn_a * (speed + turn_a * apart);
    const double per_reach = width(turn) + length * greatest(turn) * greatest(turn);
    Known known;
    known.chord.from = motions_.relative(a_, b_, stretch.from_mm);
    known.chord.to = motions_.relative(a_, b_, stretch.to_mm);
    // Rates without bounds (or 0 times such) bound nothing.
    known.chord.deviation_mm = std::isfinite(pivots) ? length / 4 * pivots : kUnbounded;
    known.deviation_per_reach = std::isfinite(per_reach) ? length / 4 * per_reach : kUnbounded;
    const Placement frame = motions_.at(a_, stretch.from_mm);
    known.chord.frame_cos = frame.cos;
    known.chord.frame_sin = frame.sin;
    known.chord.frame_within_rad = length * turn_a;
    return known;
  }

  const Model& model_;
  const BodyMotions& motions_;
  int a_, b_;
  mutable std::mutex mutex_;
  mutable std::map<std::pair<double, double>, Known> known_;
};

Chord BodyMotion::chord(const Stretch& stretch) const {
  return bent_ == nullptr ? straight_.chord(stretch) : bent_->chord(stretch, reach_mm_);
}

Chord BodyMotion::turning(const Stretch& stretch, double reach_mm) const {
  return bent_ == nullptr ? Chord{} : bent_->turning(stretch, reach_mm);
}

Stretch BodyMotion::whole(const Stretch& asked) const {
  const bool one_position = asked.from_mm == asked.to_mm;
  return bent_ == nullptr || one_position ? asked : Stretch{0, bent_->travelMm()};
}

BodyMotions::BodyMotions(const Model& model) : model_(model) {
  for (const auto& travel : model.travels) {
    const auto velocity = travel->velocity();
    velocities_.push_back(
        velocity ? std::optional<Vec3>({model.opening_sign * (*velocity)[0], 0, (*velocity)[1]})
                 : std::nullopt);
    all_straight_ = all_straight_ && velocity;
  }
}

BodyMotions::~BodyMotions() = default;

Vec3 BodyMotions::velocity(int a, int b) const {
  return a == b ? Vec3{} : minus(*velocities_[b], *velocities_[a]);
}

Placement BodyMotions::relative(int a, int b, double drive_mm) const {
  if (isStraight(a, b)) {
    return {plus({0, 0, 0}, velocity(a, b), drive_mm)};
  }
  return combined(inverse(at(a, drive_mm)), at(b, drive_mm));
}

std::array<double, 2> BodyMotions::pivot(int body) const {
  const auto [x, z] = model_.travels.at(body)->pivot_mm();
  return {model_.opening_sign * x, z};
}

BodyMotion BodyMotions::motion(int a, int b, double reach_mm) const {
  if (isStraight(a, b)) {
    return BodyMotion(velocity(a, b));
  }
  const std::lock_guard lock(mutex_);
  std::unique_ptr<BentStretches>& bent = bent_[{a, b}];
  if (!bent) {
    bent = std::make_unique<BentStretches>(model_, *this, a, b);
  }
  return BodyMotion(*bent, reach_mm);
}

}  // namespace leafstack
