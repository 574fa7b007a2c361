#include "generator/clash/proof/alike.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

constexpr double kNanometresPerMm = 1e6;

long long nanometres(double mm) {
  return std::llround(mm * kNanometresPerMm);
}

void moveAlong(PairVerdict& verdict, double by_mm) {
  verdict.least.at_mm += by_mm;
  for (auto* stretches : {&verdict.contact, &verdict.below}) {
    for (Stretch& one : *stretches) {
      one = {one.from_mm + by_mm, one.to_mm + by_mm};
    }
  }
}

/// Rounding must not take a position out of the travel looked at.
void keepWithin(PairVerdict& verdict, const Stretch& near) {
  const auto keep = [&](double& at) { at = std::clamp(at, near.from_mm, near.to_mm); };
  keep(verdict.least.at_mm);
  for (auto* stretches : {&verdict.contact, &verdict.below}) {
    for (Stretch& one : *stretches) {
      keep(one.from_mm);
      keep(one.to_mm);
    }
  }
}

void placePoints(PairVerdict& verdict, const Placement& place) {
  verdict.least.on_a = place(verdict.least.on_a);
  verdict.least.on_b = place(verdict.least.on_b);
}

}  // namespace

PairVerdict AlikePairs::judge(int a, int b, double required_mm, const Stretch& near) {
  if (!shapes_.changes(a, b)) {
    const auto [at, is_new] = standing_.try_emplace(shapes_.placeKey(a, b));
    if (is_new) {
      at->second = judgeAnew(a, b, required_mm, near);
    }
    return at->second;
  }
  const bool goes_straight = shapes_.motions().isStraight(shapes_.bodyOf(a), shapes_.bodyOf(b));
  return goes_straight && !shapes_.isRope(a) && !shapes_.isRope(b)
             ? judgePassing(a, b, required_mm, near)
             : judgeAnew(a, b, required_mm, near);
}

PairVerdict AlikePairs::judgeAnew(int a, int b, double required_mm, const Stretch& near) {
  Effort effort = effort_.grant();
  std::string key = store_ != nullptr ? shapes_.exactKey(a, b) : "";
  if (!key.empty()) {
    key += ExactKey()
               .add(required_mm)
               .add(near.from_mm)
               .add(near.to_mm)
               .add(static_cast<double>(effort.left()))
               .bytes();
    if (const auto kept = store_->verdicts.find(key)) {
      effort_.settle(kept->effort);
      return kept->verdict;
    }
  }
  PairVerdict verdict = judgePair(shapes_, a, b, required_mm, near, effort);
  effort_.settle(effort);
  // Findings have points in the gate's frame, which are not all that the key says: not kept.
  if (!key.empty() && verdict.state == PairState::kProved) {
    store_->verdicts.keep(key, {verdict, effort});
  }
  return verdict;
}

PairVerdict AlikePairs::judgePassing(int a, int b, double required_mm, const Stretch& near) {
  const Vec3 velocity = *shapes_.velocitySeenFrom(a, b);
  const Vec3 apart = shapes_.seenFrom(a, b, 0).shift;
  const double squared = dot(velocity, velocity);
  const double passes_at = squared > 0 ? -dot(apart, velocity) / squared : 0;
  const Vec3 across = plus(apart, velocity, passes_at);
  const PlacedShapes::PlaceKey place = shapes_.placeKey(a, b);
  const PassingKey key{place[0],
                       place[1],
                       place[2],
                       place[6],
                       nanometres(across[0]),
                       nanometres(across[1]),
                       nanometres(across[2]),
                       nanometres(velocity[0]),
                       nanometres(velocity[1]),
                       nanometres(velocity[2]),
                       nanometres(near.from_mm - passes_at),
                       nanometres(near.to_mm - passes_at),
                       nanometres(required_mm)};
  const auto [at, is_new] = passing_.try_emplace(key);
  if (is_new) {
    PairVerdict own = judgeAnew(a, b, required_mm, near);
    at->second = {own, passes_at};
    placePoints(at->second.verdict, inverse(shapes_.standing(a, own.least.at_mm)));
    return own;
  }
  PairVerdict verdict = at->second.verdict;
  moveAlong(verdict, passes_at - at->second.passes_at_mm);
  keepWithin(verdict, near);
  placePoints(verdict, shapes_.standing(a, verdict.least.at_mm));
  return verdict;
}

}  // namespace leafstack
