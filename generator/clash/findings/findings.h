// From pairs of instances to the findings a reviewer reads.
#pragma once

#include <vector>

#include "generator/clash/placed/placed.h"
#include "generator/clash/proof/pair_finding.h"
#include "generator/clash/report/clash.h"

namespace leafstack {

/// Alike pairs (same fault, marks and panels) become one finding, measured on the worst of them:
/// clearance and volume by the kernel, depth on the meshes; where those disagree, unresolved. Most
/// severe first. Of a trial (CheckScope) all is by the meshes, to their error.
std::vector<Finding> groupFindings(PlacedShapes& shapes, const std::vector<PairFinding>& pairs,
                                   bool is_trial = false);

Verdict verdictOf(const std::vector<Finding>& findings);

}  // namespace leafstack
