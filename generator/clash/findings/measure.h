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
Deepest deepestOf(PlacedShapes& shapes, const PairFinding& pair, int positions);

/// Fills what was measured at the worst position into `finding`, its class included.
void measureWorst(PlacedShapes& shapes, const PairFinding& pair, Finding& finding);

}  // namespace leafstack
