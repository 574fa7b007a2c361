// The layout: where every panel, guide, pinion and rope end stands, on level, sloping or surveyed
// ground.
//
// Frame: X along the track, positive in the opening direction, 0 at the latch-side post face (the
// opening is 0 to W); Y from road to property, 0 at the back face of the fence line; Z up, 0 at the
// driveway surface. This frame follows the hand: a left-hand gate has the same layout, and only its
// solids are mirrored (see assembly.h).
//
// On a slope everything that lies along the track (overlaps, insets, reaches, block, channel,
// motor) keeps its length along the track; what is reported is horizontal. The station of a part
// that stands square to the rail is the X of its own centre, at its own height.
//
// Numbered properties (tested on seeded random gates, tests/layout/layout_test.cpp):
//  L1  panel k travels k drive travels; closed panels cover [-closing_overlap, W] end to end.
//  L2  closed, panel k+1 overlaps panel k by overlap_mm[k] >= the user's overlap, the channel width
//      and reach + bracket inset.
//  L3  at every point of the travel each rope bracket stays bracket_clearance or more from each
//      pulley axis of the panel that carries its rope.
//  L4  extension is the least that meets all constraints; the binding one has slack 0.
//  L5  room = max over panels of the trailing end when open, less W.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/layout_types.h"
#include "generator/layout/ground/ground.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

struct LayoutResult {
  Layout layout;
  std::vector<LayoutProblem> problems;  ///< non-empty: the gate cannot be laid out (exit 4)
};

/// "guide post", "overhead bracket" or "reach-over arm".
std::string_view nameOf(GuideMount mount);

/// Lays the gate out. Pure arithmetic: no solids, some microseconds. Throws std::invalid_argument
/// where gate.panels is still "auto" (compare/arrangements.h decides that).
LayoutResult layOut(const GateSpec& spec);

/// Every "auto" of the gate file with the value the layout gave it: (pointer, value or list).
std::vector<std::pair<std::string, std::vector<double>>> computedValues(const GateSpec& spec,
                                                                        const Layout& layout);

}  // namespace leafstack
