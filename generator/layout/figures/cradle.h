// A pulley's cradle: two cheeks with the pulley between them on a pin, covers round its rim, and a
// flange that two screws hold to the rail's side. It slides in and out across the rail; the rope's
// pull goes from the cheeks into the ends of the slots that they lie in.
//
// Cheeks and slots are cut for what coats them (shop.coat_mm), so that a cradle has as much play
// coated as it has bare.
//
// Frame: the pulley's axis and mid-plane; X along the rail, positive inboard (away from the rail's
// end); Y across, positive to the side that the cradle comes out of; Z along the axis. Alike above
// and below. mm throughout.
#pragma once

#include <numbers>

#include "params/spec/gate_spec.h"

namespace leafstack {

struct PulleyCradle {
  double rim_mm = 0;                           ///< outside radius of the pulley
  double rail_half_mm = 0;                     ///< rail's sides from the axis
  double inside_half_mm = 0;                   ///< their inner faces
  double cheek_low_mm = 0, cheek_high_mm = 0;  ///< a cheek's two sides, off the mid-plane
  double slot_half_height_mm = 0;
  double entry_half_mm = 0, far_half_mm = 0;  ///< slots along the rail: side it goes in, other side
  double tongue_half_mm = 0;                  ///< of the cheeks in the far slot; else rim_mm
  double tongue_from_mm = 0;                  ///< Y where that begins (negative)
  double front_mm = 0;                        ///< Y of the flange's outer side
  double cover_inner_mm = 0, cover_outer_mm = 0;  ///< radii
  double mouth_deg = 0, root_deg = 0;  ///< cover's ends, anticlockwise from X; mouth: at the strand
  double flange_from_mm = 0, flange_to_mm = 0;  ///< X
  double flange_half_height_mm = 0;
  double screw_x_mm = 0, screw_up_mm = 0;  ///< of both screws: X, and +-Z

  double pinLengthMm() const { return 2 * cheek_low_mm; }
  double coverLengthMm() const;  ///< along its middle
  double rootMm() const;         ///< Y where the cover ends in the rail
  /// How far it is drawn out until nothing of it is in the rail.
  double wayOutMm() const { return rail_half_mm + cover_outer_mm; }
  /// Room beside the rail that this takes.
  double roomBesideMm() const { return 2 * cover_outer_mm; }
};

double cradleSlotHalfHeightMm(const GateSpec& spec);
/// Of a gate's every pulley: they are alike.
PulleyCradle cradleOf(const GateSpec& spec);

/// The side that a pulley comes out of: the opening rope's stands at the trailing end.
bool comesOutInFront(const HardwareSpec& shelf, bool opening);

/// A countersunk screw of 90 degrees: DIN 7991 (heads twice the thread wide), coarse threads tapped
/// in bars to 0.84 of the thread and formed in walls from 0.9 of it, M4 to M8; from memory.
struct SunkScrew {
  double thread_mm = 0;
  double coat_mm = 0;  ///< on the hole's wall: it is drilled and sunk larger by that

  double headRadiusMm() const { return thread_mm; }
  double holeRadiusMm() const { return (thread_mm + 0.5) / 2 + coat_mm; }
  /// Of the sunk hole where it begins: coated square to its cone, it lets the head down to the face
  /// as drawn.
  double sinkRadiusMm() const { return headRadiusMm() + std::numbers::sqrt2 * coat_mm; }
  /// How deep its hole is sunk: a right angle.
  double sinkMm() const { return sinkRadiusMm() - holeRadiusMm(); }
  double tapRadiusMm() const { return 0.42 * thread_mm; }
  double formRadiusMm() const { return 0.45 * thread_mm; }
};

}  // namespace leafstack
