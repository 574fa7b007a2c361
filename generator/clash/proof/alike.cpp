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

bool AlikePairs::passes(const AskedPair& pair) const {
  return pair.free == Vec3{} &&
         shapes_.motions().isStraight(shapes_.bodyOf(pair.a), shapes_.bodyOf(pair.b)) &&
         !shapes_.isRope(pair.a) && !shapes_.isRope(pair.b);
}

PairVerdict AlikePairs::judge(const AskedPair& pair) {
  if (!shapes_.changes(pair.a, pair.b)) {
    const auto [at, is_new] = standing_.try_emplace(shapes_.placeKey(pair.a, pair.b));
    if (is_new) {
      at->second = judgeAnew(pair);
    }
    return at->second;
  }
  return passes(pair) ? judgePassing(pair) : judgeAnew(pair);
}

void AlikePairs::judgeAhead(const std::vector<AskedPair>& pairs) {
  std::set<PlacedShapes::PlaceKey> standing;
  std::set<PassingKey> passing;
  std::vector<std::pair<std::pair<int, int>, AskedPair>> firsts;
  for (const AskedPair& pair : pairs) {
    double at_mm = 0;
    const bool is_first = !shapes_.changes(pair.a, pair.b)
                              ? standing.insert(shapes_.placeKey(pair.a, pair.b)).second
                              : !passes(pair) || passing.insert(passingKey(pair, at_mm)).second;
    if (is_first) {
      firsts.push_back({{pair.a, pair.b}, pair});
    }
  }
  searches_.expect(std::move(firsts));
}

KeptVerdict AlikePairs::keptOrJudged(const AskedPair& pair, Effort granted) {
  std::string key = store_ != nullptr ? shapes_.exactKey(pair.a, pair.b) : "";
  if (!key.empty()) {
    key += ExactKey()
               .add(pair.required_mm)
               .add(pair.near.from_mm)
               .add(pair.near.to_mm)
               .add(pair.free[0])
               .add(pair.free[1])
               .add(pair.free[2])
               .add(static_cast<double>(granted.left()))
               .bytes();
    if (const auto kept = store_->verdicts.find(key)) {
      return *kept;
    }
  }
  PairVerdict verdict = judgePair(shapes_, pair, granted);
  KeptVerdict judged{std::move(verdict), granted};
  // Findings have points in the gate's frame, which are not all that the key says: not kept.
  if (!key.empty() && judged.verdict.state == PairState::kProved) {
    store_->verdicts.keep(key, judged);
  }
  return judged;
}

PairVerdict AlikePairs::judgeAnew(const AskedPair& pair) {
  return searches_.inTurn({pair.a, pair.b}, pair).verdict;
}

AlikePairs::PassingKey AlikePairs::passingKey(const AskedPair& pair, double& at_mm) const {
  const Vec3 velocity = *shapes_.velocitySeenFrom(pair.a, pair.b);
  const Vec3 apart = shapes_.seenFrom(pair.a, pair.b, 0).shift;
  const double squared = dot(velocity, velocity);
  at_mm = squared > 0 ? -dot(apart, velocity) / squared : 0;
  const Vec3 across = plus(apart, velocity, at_mm);
  const PlacedShapes::PlaceKey place = shapes_.placeKey(pair.a, pair.b);
  return {place[0],
          place[1],
          place[2],
          place[6],
          nanometres(across[0]),
          nanometres(across[1]),
          nanometres(across[2]),
          nanometres(velocity[0]),
          nanometres(velocity[1]),
          nanometres(velocity[2]),
          nanometres(pair.near.from_mm - at_mm),
          nanometres(pair.near.to_mm - at_mm),
          nanometres(pair.required_mm)};
}

PairVerdict AlikePairs::judgePassing(const AskedPair& pair) {
  double passes_at = 0;
  const auto [at, is_new] = passing_.try_emplace(passingKey(pair, passes_at));
  if (is_new) {
    PairVerdict own = judgeAnew(pair);
    at->second = {own, passes_at};
    placePoints(at->second.verdict, inverse(shapes_.standing(pair.a, own.least.at_mm)));
    return own;
  }
  PairVerdict verdict = at->second.verdict;
  moveAlong(verdict, passes_at - at->second.passes_at_mm);
  keepWithin(verdict, pair.near);
  placePoints(verdict, shapes_.standing(pair.a, verdict.least.at_mm));
  return verdict;
}

}  // namespace leafstack
