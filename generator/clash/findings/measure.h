// The worst pair of a finding, measured three ways: sweep, depth and kernel.
#pragma once

#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/pair_finding.h"
#include "generator/clash/report/clash.h"

namespace leafstack {

/// How deep a pair is at its deepest of a few positions of its contact; 0 where it never meets.
struct Deepest {
  double at_mm = 0, depth_mm = 0;
};
Deepest deepestOf(PlacedShapes& shapes, const PairFinding& pair, int positions, Effort& effort);

/// Where a lost contact is looked at: the end of its longest stretch that is furthest from where it
/// still held.
double lostAtMm(const PlacedShapes& shapes, const std::vector<Stretch>& lost);

/// Fills in what was measured, its class included: a gap where it is least, an overlap where it is
/// deepest of the few positions looked at. Of a trial (CheckScope) all is by the meshes, to
/// their error, of fewer positions: no volume, no solid, no depth along the travel.
void measureWorst(PlacedShapes& shapes, const PairFinding& pair, Finding& finding, Effort& effort,
                  bool is_trial);

}  // namespace leafstack
