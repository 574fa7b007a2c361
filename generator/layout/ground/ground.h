// The ground under a gate: rakes, tops, guide heights, how bodies travel, and the pocket in a bank.
//
// Properties (G3 in tests/model/slope_shape_test.cpp, what breaks G1 in
// tests/clash/slope_clash_test.cpp):
//  G1  over the whole travel every guide block stays between the ends of its channel, unless a
//      drop given by hand makes that impossible.
//  G2  a channel's top stays below the top of the panel that carries it and, where guides are
//      hidden, below the top of the panel in front; no rail stands above its own panel.
//  G3  with level and stepped tops a block floats by |grade| x drive travel; with raked ones not at
//      all on even ground.
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/layout_types.h"
#include "generator/layout/ground/site_extents.h"

namespace leafstack {

/// Horizontal length for every mm along the track that the layout is solved with: the cosine of an
/// even grade; 1 on surveyed ground, where lengths along the rails come out longer, never shorter.
double alongCosine(const SiteSpec& site);

/// Height of the pinion's axis. Where the rack rises and falls on uneven ground the pinion is set
/// for its lowest place, or the rack is laid to the pinion's path (rack_fit.h).
double pinionZ(const Layout& layout);

/// Lines, rakes and travels of the panels; needs their ends, and the stack.
void layOutGround(const GateSpec& spec, Layout& layout);

/// Tops and guides; needs the travels and heights. Adds the floating blocks' travels.
void layOutTops(const GateSpec& spec, Layout& layout);
void layOutGuides(const GateSpec& spec, Layout& layout);
/// By how much guide rails are too short for their blocks somewhere over the travel, because panels
/// lean otherwise than their neighbours; 0 on ground that is not surveyed.
double guidesShortByMm(const GateSpec& spec, const Layout& layout);
/// Would blocks of one piece, which lean with their rails, take up the play in their channels
/// somewhere over the travel? Never on ground that is not surveyed.
bool blocksJam(const GateSpec& spec, const Layout& layout);

/// How much a panel's bottom rail and its neighbour's are at odds in height where ropes go from one
/// to the other, closed, square to them.
double acrossMm(const GateSpec& spec, const Layout& layout);

/// What surveyed ground does to the rack.
void findSurveyEffects(Layout& layout);

/// What the pocket of a gate that needs this much room comes to.
PocketLayout pocketOf(const GateSpec& spec, const Layout& layout);

/// Height of a panel's underside line at a fixed X, at drive travel `drive_mm`.
double undersideAt(const Layout& layout, int panel, double x_mm, double drive_mm);

/// How a rope bracket rides along its carrier's rope on surveyed ground.
struct BracketOffRope {
  double offset_mm = 0;   ///< bore over the rope's line when closed, square to the rail
  double most_mm = 0;     ///< off that line over the travel, either way
  double steepest = 0;    ///< of either strand against the rail, rise per mm: the fleet angle
  double swivel_rad = 0;  ///< most of either strand from square to the bracket it ends in
};

/// For a bore of body `of` that stands at X and Z `at_mm` on the rope's line when closed: the
/// offset at which the strands lean least, which is where they are short. All 0 on even ground.
BracketOffRope bracketOffRope(const Layout& layout, int carrier, int of,
                              const std::array<double, 2>& at_mm);

/// Highest top of any panel above X `from_mm` to `to_mm`, at any position of the travel.
double highestTopOver(const Layout& layout, double from_mm, double to_mm);

/// The footing's strip behind the tracks, which carries motor and guide post; others go by their
/// panel's number. On ground that is level across all are one slab.
inline constexpr int kRearStrip = 0;

/// Height of a strip's top at X.
double footingZ(const GateSpec& spec, const Layout& layout, int strip, double x_mm);

/// Steel under the motor's feet, plumb, at its driveway-side end and at the other: from the footing
/// up to the motor's base. Negative where the base would lie in the footing.
struct MotorPacking {
  double near_mm = 0, far_mm = 0;
  double least() const { return std::min(near_mm, far_mm); }
  double most() const { return std::max(near_mm, far_mm); }
  bool isFlat() const { return std::abs(near_mm - far_mm) < kLengthEqualMm; }
};
MotorPacking motorPacking(const GateSpec& spec, const Layout& layout);

/// A wedge is no thinner than this at its thin end: common practice, no source.
inline constexpr double kThinnestWedgeEndMm = 1;

/// X of the overhead bracket's reach across the gate: on the storage-side fence post.
double overheadXMm(const GateSpec& spec, const Layout& layout);
/// How high a fence must be for the bracket not to be seen over it from the road.
double overheadHiddenByMm(const GateSpec& spec, const Layout& layout);
/// Its underside: above every panel that passes below it.
double overheadLowZ(const Layout& layout, const GateSpec& spec, double post_x_mm);

}  // namespace leafstack
