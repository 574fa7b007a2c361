// Pickets past pickets, wheels in their pockets: pairs alike are judged once.
#pragma once

#include <array>
#include <map>
#include <set>
#include <utility>
#include <vector>

#include "generator/clash/placed/ahead.h"
#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/proof.h"
#include "generator/clash/proof/proof_store.h"

namespace leafstack {

class AlikePairs {
 public:
  /// `shapes`, and `store` where there is one, must outlive it.
  explicit AlikePairs(PlacedShapes& shapes, ProofStore* store = nullptr)
      : shapes_(shapes), store_(store) {}
  AlikePairs(const AlikePairs&) = delete;
  AlikePairs& operator=(const AlikePairs&) = delete;

  /// judgePair(), or what that said of a pair alike, moved along the travel. Alike are the same two
  /// parts that stand alike to each other, to a thousandth of a mm; and, where they pass each other
  /// straight, those that pass at the same distance over as much of the travel, to a nanometre.
  PairVerdict judge(const AskedPair& pair);
  /// On all cores what judge() of these, in this order, will ask for. It says the same without.
  void judgeAhead(const std::vector<AskedPair>& pairs);

 private:
  /// Parts and turns; distance across the way, velocity, stretch and requirement in nanometres.
  using PassingKey = std::array<long long, 13>;
  struct Passing {
    PairVerdict verdict;  ///< points in the first instance's own frame
    double passes_at_mm = 0;
  };
  bool passes(const AskedPair& pair) const;
  /// `at_mm`: where in the travel they are side by side.
  PassingKey passingKey(const AskedPair& pair, double& at_mm) const;
  KeptVerdict keptOrJudged(const AskedPair& pair, Effort granted);
  PairVerdict judgeAnew(const AskedPair& pair);
  PairVerdict judgePassing(const AskedPair& pair);

  PlacedShapes& shapes_;
  ProofStore* store_;
  Searches<std::pair<int, int>, AskedPair, KeptVerdict> searches_{
      {.in_all = 120'000'000, .least = 30'000, .most = 24'000'000},
      [this](const AskedPair& pair, const Effort& granted) { return keptOrJudged(pair, granted); }};
  std::map<PlacedShapes::PlaceKey, PairVerdict> standing_;
  std::map<PassingKey, Passing> passing_;
};

}  // namespace leafstack
