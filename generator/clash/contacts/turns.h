// Contacts that hold in turns: pieces of rack and their pinion, pieces of track and a wheel. At
// every position one of them holds.
#pragma once

#include <vector>

#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/pair_finding.h"

namespace leafstack {

bool isInTurns(const Contact& contact);

/// Contacts that take turns at what they share.
struct TurnGroup {
  std::vector<const Contact*> contacts;  ///< in order, at least one
  int outer = 0;                         ///< of the first: holds what they share
  Bounds held_by;  ///< all of what holds it, in outer's own frame; the others are of its body
};
std::vector<TurnGroup> turnGroups(PlacedShapes& shapes);

/// Of those that take turns, the pair that is nearest where the contact is lost is the one to
/// look at: names it in `lost`.
void nameNearest(PlacedShapes& shapes, const TurnGroup& group, PairFinding& lost);

}  // namespace leafstack
