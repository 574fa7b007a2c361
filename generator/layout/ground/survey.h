// Surveyed points as lines of the ground: one for all tracks, or one for each.
//
// Frame: that of layout.h, mm.
#pragma once

#include <string>
#include <vector>

#include "generator/layout/figures/layout_types.h"

namespace leafstack {

/// The surveyed points under a panel's track, of a gate of `count` panels. For another number of
/// panels than there are lines, front and back ones stay so and between them the nearest is taken.
const SurveyLine& surveyUnder(const SiteSpec& site, int panel, int count);
/// The driveway's line under a panel's track, from a grade or from surveyed points; the front one
/// is 0 at X = 0.
GroundLine groundLineOf(const SiteSpec& site, int panel, int count);

/// Lays every track straight: track_lines, line and slab_lines.
void layStraight(const GateSpec& spec, Layout& layout);
/// GroundLayout's `laid`; nothing where the ground is not surveyed.
void findLaid(const GateSpec& spec, Layout& layout);

/// Whatever keeps wheels whose centres go `wheel_off_mm` over a panel's line, or over the one line
/// of all, from following it: every such place, with the panels that roll over it and mm.
void judgeLine(const GateSpec& spec, const Layout& layout, int panel, double wheel_off_mm,
               std::vector<std::string>& problems);

/// X between which panel 1's wheels run: the least stretch of the back track that has to be
/// straight for its rack to keep its height over the pinion. Surveyed ground only, else empty.
Range backWheelsRun(const Layout& layout);

/// How far tracks lie over each other: GroundLayout's track_rises and others_over_mm.
void findTrackRises(Layout& layout);
/// Of every neighbour that lies as high as a panel's bottom rail: lines of two datums, or in the
/// wrong order.
std::vector<std::string> crossingLines(const GateSpec& spec, const Layout& layout);

}  // namespace leafstack
