// Where rack, motor and bottom rail come together, in height and across the track.
#pragma once

#include <vector>

#include "generator/layout/figures/layout_types.h"

namespace leafstack {

namespace hardware {
inline constexpr double kThinnestWedgeMm = 3;  ///< left under a level motor's uphill end on a slope
}  // namespace hardware

/// Where a whole piece of rack is fixed, from its start: as it is bought.
std::vector<double> boughtRackPlaces(const RackHardware& rack);
/// From a fixing to an end that is cut, least.
double offRackCutMm(const RackHardware& rack);
/// Lengths of the pieces of a rack so long. On feet every one keeps two of them, if it can: into a
/// piece on standoffs another hole may be drilled.
std::vector<double> rackPieces(const RackHardware& rack, double length_mm);

/// Lays the rack's pieces, which are straight, as near to the path of the pinion along panel 1 as
/// they come (least squares), never so that teeth enter deeper than they should; nothing on ground
/// where a straight one rises and falls by no more than kRackStraightModules. Sets
/// GroundLayout::rack_up_mm and what goes with it; needs rack_rise_mm.
void layRackToPath(const GateSpec& spec, Layout& layout);
/// Mesh that gets noisy: a quarter of the module, from memory.
inline constexpr double kRackStraightModules = 0.25;

/// How many pairs of teeth are in mesh on average, of pinion and rack whose teeth enter by
/// `less_mm` less than the working depth: involutes of 20 degrees with an addendum of one module
/// (ISO 53), length of contact over base pitch (ISO 21771; both from memory). Below 1 each pair
/// lets go before the next takes over: teeth knock, and wear.
double contactRatio(const HardwareSpec& shelf, double less_mm);
/// The depth less at which that is 1; 0 or more.
double contactLostMm(const HardwareSpec& shelf);
/// By how much less teeth enter somewhere over the travel than where they enter most.
double mostLessMm(const Layout& layout);

/// The rack's lower edge above the rail's underside, at most: what holds it needs the flat of the
/// rail's side, standoffs beside the rack or its feet above it.
double highestRackMm(const GateSpec& spec);
/// The same, at least.
double lowestRackMm(const GateSpec& spec);

/// Where the pinion's near side has to be off the rail's rear face, at least: pulleys pass it with
/// their covers, and the ground bracket may stand beside it with its terminals, anywhere in their
/// range. 0 without ropes. Needs everything along the track.
double pinionRoomMm(const GateSpec& spec, const Layout& layout);
/// StackLayout::drive_out_mm.
double driveOutMm(const GateSpec& spec, const Layout& layout);

/// What a slope takes of packing under the motor, which stands level.
double motorWedgeMm(const GateSpec& spec, const Layout& layout);

/// How much higher or lower than pinion_up_mm a motor's own base may hold its pinion: nothing on a
/// slope, where its packers are wedges made to fit, and the band is left for setting it.
double motorBandMm(const GateSpec& spec);

/// How much lower than the tracks' the footing behind them is, plumb: as given, or what a motor
/// whose pinion stands too high on its feet takes to reach the rack.
/// Of steps in a footing: nobody casts finer ones. Own choice.
inline constexpr double kFootingStepMm = 5;
double footingDropMm(const GateSpec& spec, const Layout& layout);

}  // namespace leafstack
