#include "generator/shelf/size_search.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <type_traits>

namespace leafstack {
namespace {

// A length is the row's where it is so to this; what the kernel computes is truer by far.
constexpr double kSameMm = 1e-4;
// Growth is told from none, and from half or twice, with as much to spare.
constexpr double kSameShareOfHair = 0.01;

// What makes a length hard to recognise, weighed against its distance from the item in mm. Own
// choice: tuned by looking at the sheets.
constexpr double kOtherShare = 1000, kOneOwn = 200, kNoneOwn = 600, kTwoParts = 100;
constexpr double kSilhouette = 10, kAxis = 20, kRoundIsPlain = -50;
constexpr double kAside = 0.5, kAway = 0.1;

constexpr std::initializer_list<double> kWholeOnly = {1}, kShares = {1, 0.5, 2};

double clamped(double value, double low, double high) {
  return std::max(low, std::min(high, value));
}

Vec3 nearest(const Vec3& point, const Bounds& box) {
  Vec3 at{};
  for (int axis = 0; axis < 3; ++axis) {
    at[axis] = clamped(point[axis], box.low[axis], box.high[axis]);
  }
  return at;
}

Bounds moved(const Bounds& box, const Vec3& by) {
  return {plus(box.low, by), plus(box.high, by)};
}

double kindCost(Mark::Kind kind) {
  switch (kind) {
    case Mark::Kind::kEdge:
      return 0;
    case Mark::Kind::kSilhouette:
      return kSilhouette;
    case Mark::Kind::kAxis:
      return kAxis;
  }
  return 0;
}

void keep(FoundSize found, std::optional<FoundSize>& best) {
  // A rounding apart is equal: the first one stays, on every machine.
  constexpr double kTieCost = 1e-3;
  if (!best || found.cost < best->cost - kTieCost) {
    best = std::move(found);
  }
}

}  // namespace

/// A row as it is looked for: `share` of its value, which grows by as much of the hair.
struct SizeSearch::Wish {
  const Parameter& row;
  const GateAndHairs::Changed& changed;
  double value = 0, share = 1;
  std::optional<double> shaken_value;  ///< the row's in the shaken gate
  double sign = 1;                     ///< of the row; values here have none

  double length() const { return share * value; }
  bool grew(double by) const {
    return std::abs(by - sign * share * changed.hair) < kSameShareOfHair * kHairMm;
  }
  bool isShaken(double length) const { return std::abs(length - share * *shaken_value) < kSameMm; }
  DrawnSize size(DrawnSize::Kind kind) const {
    DrawnSize made;
    made.row = &row;
    made.kind = kind;
    made.value = value;
    made.is_negative = sign < 0;
    made.share = share;
    return made;
  }
};

SizeSearch::SizeSearch(const GateAndHairs& gates, const Cluster& cluster)
    : gates_(gates), cluster_(cluster), instances_(cluster.own) {
  instances_.insert(instances_.end(), cluster.neighbours.begin(), cluster.neighbours.end());
  for (std::size_t i = 0; i < instances_.size(); ++i) {
    const int instance = instances_[i];
    const Vec3 shift = gates.gate().shift(instance, cluster.drive_mm);
    const std::vector<Mark>& marks = gates.gate().lengths(instance).marks;
    for (std::size_t m = 0; m < marks.size(); ++m) {
      const int axis = marks[m].axis;
      places_[axis].push_back(
          {instance, m, i < cluster.own.size(), &marks[m], marks[m].at_mm + shift[axis], shift});
    }
  }
  for (auto& places : places_) {
    std::stable_sort(places.begin(), places.end(),
                     [](const Place& a, const Place& b) { return a.at_mm < b.at_mm; });
  }
}

std::optional<FoundSize> SizeSearch::find(const Parameter& row) const {
  std::optional<FoundSize> best;
  const GateAndHairs::Changed& changed = gates_.with(row);
  const auto value = numberOf(row, gates_.gate().model()->spec);
  if (changed.gate == nullptr || !value || std::abs(*value) <= kSameMm) {
    return best;
  }
  // What is below zero is measured the other way.
  const double sign = *value < 0 ? -1 : 1;
  Wish wish{row, changed, sign * *value, 1, {}, sign};
  if (gates_.shaken() != nullptr) {
    wish.shaken_value = sign * numberOf(row, gates_.shaken()->model()->spec).value();
  }
  if (std::strcmp(row.unit, "deg") == 0) {
    findAngle(wish, best);
    return best;
  }
  for (const double share : cluster_.takes_shares ? kShares : kWholeOnly) {
    wish.share = share;
    findDiameter(wish, best);
    findDistance(wish, best);
  }
  if (!best) {
    wish.share = 1;
    findEdge(wish, best);
  }
  return best;
}

double SizeSearch::apartIn(const MeasuredGate& gate, const Place& a, const Place& b) const {
  const int axis = a.mark->axis;
  const double drive = cluster_.drive_mm == 0 ? 0 : gate.model()->layout.drive_travel_mm;
  const auto then = [&](const Place& place) {
    const std::vector<Mark>& marks = gate.lengths(place.instance).marks;
    // Another shape altogether says nothing.
    if (marks.size() != gates_.gate().lengths(place.instance).marks.size() ||
        marks[place.index].axis != axis) {
      return std::nan("");
    }
    return marks[place.index].at_mm + gate.shift(place.instance, drive)[axis];
  };
  return then(b) - then(a);
}

bool SizeSearch::isTrue(const Wish& wish, const Place& a, const Place& b) const {
  // The shaken gate first: it is the same for all rows, and few solids of the others are made then.
  return (!wish.shaken_value || wish.isShaken(apartIn(*gates_.shaken(), a, b))) &&
         wish.grew(apartIn(*wish.changed.gate, a, b) - (b.at_mm - a.at_mm));
}

template <class One>
bool SizeSearch::isTrueOf(const Wish& wish, const Measure& which, std::vector<One> Lengths::*all,
                          double One::*size) const {
  const auto in = [&](const MeasuredGate& gate) -> const std::vector<One>& {
    return gate.lengths(which.instance).*all;
  };
  const std::vector<One>& now = in(gates_.gate());
  // Angles are told apart well enough by the hair.
  if (wish.shaken_value && !std::is_same_v<One, Taper>) {
    const std::vector<One>& shaken = in(*gates_.shaken());
    if (shaken.size() != now.size() || !wish.isShaken(shaken[which.index].*size)) {
      return false;
    }
  }
  const std::vector<One>& then = in(*wish.changed.gate);
  return then.size() == now.size() && wish.grew(then[which.index].*size - now[which.index].*size);
}

void SizeSearch::judge(const Wish& wish, const Place& a, const Place& b,
                       std::optional<FoundSize>& best) const {
  const int axis = a.mark->axis;
  const Bounds at_a = moved(a.mark->where, a.shift);
  const Bounds at_b = moved(b.mark->where, b.shift);
  const Vec3 to = nearest(nearest(cluster_.anchor, at_a), at_b);
  const Vec3 from = nearest(to, at_a);
  Vec3 aside = minus(to, from);
  aside[axis] = 0;
  const double away = norm(minus(plus(from, minus(to, from), 0.5), cluster_.anchor));
  if (away > cluster_.reach_mm) {
    return;
  }
  double cost = kindCost(a.mark->kind) + kindCost(b.mark->kind);
  cost += wish.share == 1 ? 0 : kOtherShare * std::max(wish.share, 1.0);
  cost += a.is_own && b.is_own ? 0 : a.is_own || b.is_own ? kOneOwn : kNoneOwn;
  cost += a.instance == b.instance ? 0 : kTwoParts;
  cost += kAside * norm(aside) + kAway * away;
  if (best && cost >= best->cost) {
    return;
  }
  if (!isTrue(wish, a, b)) {
    return;
  }
  DrawnSize size = wish.size(DrawnSize::Kind::kDistance);
  size.axis = axis;
  size.from = from;
  size.to = to;
  size.parts = {a.instance, b.instance};
  size.where = {at_a, at_b};
  size.is_plain = wish.share == 1 && (a.is_own || b.is_own);
  keep({size, cost}, best);
}

void SizeSearch::findDistance(const Wish& wish, std::optional<FoundSize>& best) const {
  for (const std::vector<Place>& places : places_) {
    for (const Place& a : places) {
      const double target = a.at_mm + wish.length();
      auto b = std::lower_bound(places.begin(), places.end(), target - kSameMm,
                                [](const Place& place, double at) { return place.at_mm < at; });
      for (; b != places.end() && b->at_mm < target + kSameMm; ++b) {
        judge(wish, a, *b, best);
      }
    }
  }
}

void SizeSearch::findDiameter(const Wish& wish, std::optional<FoundSize>& best) const {
  for (std::size_t i = 0; i < instances_.size(); ++i) {
    const int instance = instances_[i];
    const std::vector<Round>& now = gates_.gate().lengths(instance).rounds;
    const Vec3 shift = gates_.gate().shift(instance, cluster_.drive_mm);
    for (std::size_t r = 0; r < now.size(); ++r) {
      if (std::abs(now[r].diameter_mm - wish.length()) > kSameMm ||
          !isTrueOf(wish, {instance, r}, &Lengths::rounds, &Round::diameter_mm)) {
        continue;
      }
      const Vec3 centre = plus(now[r].centre, shift);
      const double away = norm(minus(centre, cluster_.anchor));
      if (away > cluster_.reach_mm) {
        continue;
      }
      const bool is_own = i < cluster_.own.size();
      DrawnSize size = wish.size(DrawnSize::Kind::kDiameter);
      size.from = centre;
      size.to = now[r].normal;
      size.parts = {instance, instance};
      size.is_plain = wish.share == 1 && is_own;
      keep({size, kRoundIsPlain + (wish.share == 1 ? 0 : kOtherShare * std::max(wish.share, 1.0)) +
                      (is_own ? 0 : kNoneOwn) + kAway * away},
           best);
    }
  }
}

void SizeSearch::findAngle(const Wish& wish, std::optional<FoundSize>& best) const {
  for (std::size_t i = 0; i < instances_.size(); ++i) {
    const int instance = instances_[i];
    const std::vector<Taper>& now = gates_.gate().lengths(instance).tapers;
    for (std::size_t t = 0; t < now.size(); ++t) {
      const Vec3 at = plus(now[t].at, gates_.gate().shift(instance, cluster_.drive_mm));
      const double away = norm(minus(at, cluster_.anchor));
      if (std::abs(now[t].angle_deg - wish.length()) > kSameMm || away > cluster_.reach_mm ||
          !isTrueOf(wish, {instance, t}, &Lengths::tapers, &Taper::angle_deg)) {
        continue;
      }
      DrawnSize size = wish.size(DrawnSize::Kind::kAngle);
      size.from = size.to = at;
      size.parts = {instance, instance};
      size.is_plain = i < cluster_.own.size();
      keep({size, (size.is_plain ? 0 : kNoneOwn) + kAway * away}, best);
    }
  }
}

void SizeSearch::findEdge(const Wish& wish, std::optional<FoundSize>& best) const {
  for (const int instance : cluster_.own) {
    const std::vector<Slant>& now = gates_.gate().lengths(instance).slants;
    for (std::size_t e = 0; e < now.size(); ++e) {
      const Vec3 at = plus(now[e].middle, gates_.gate().shift(instance, cluster_.drive_mm));
      const double away = norm(minus(at, cluster_.anchor));
      if (std::abs(now[e].length_mm - wish.length()) > kSameMm || away > cluster_.reach_mm ||
          !isTrueOf(wish, {instance, e}, &Lengths::slants, &Slant::length_mm)) {
        continue;
      }
      DrawnSize size = wish.size(DrawnSize::Kind::kEdge);
      size.from = size.to = at;
      size.parts = {instance, instance};
      keep({size, kAway * away}, best);
    }
  }
}

}  // namespace leafstack
