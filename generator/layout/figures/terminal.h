// What a rope ends in, with all that is not given; and what of the layout follows from it.
//
// Frame: along the rope from the middle of its bracket, positive towards the rope's own pulley; the
// adjuster mid-way unless said. mm throughout.
#pragma once

#include "params/spec/gate_spec.h"

namespace leafstack {

/// Up to the next half of a millimetre.
double halvesUp(double mm);

/// The root of a bolt's thread; of one between the table's the next smaller one's.
double threadRootMm(double thread_mm);

struct Terminal {
  TerminalKind kind = TerminalKind::kScrew;
  double half_bracket_mm = 0;  ///< bracket's faces from its middle
  double adjust_mm = 0;        ///< range: half of it either way
  double thread_mm = 0, length_mm = 0;
  double nut_mm = 0, nut_across_mm = 0;
  double sleeve_mm = 0, sleeve_length_mm = 0;
  double eye_mm = 0;        ///< outside diameter of eye and thimble; 0 without
  double eye_plate_mm = 0;  ///< thickness of the eye's and the thimble's rings

  double nutRadiusMm() const;
  /// The thread's end towards the pulley.
  double tipMm() const;
  /// The thread's other end.
  double threadEndMm() const { return tipMm() - length_mm; }
  /// Where the rope comes out, and where what is drawn of it in there ends.
  double mouthMm() const;
  double ropeEndMm() const;
  /// All of the rope that is in there, for its cut length.
  double insideMm() const;
  /// What stands out furthest towards the pulley, at that end of the adjuster's range.
  double nearMm() const { return mouthMm() + adjust_mm / 2; }
  /// The same away from it.
  double tailMm() const {
    return adjust_mm / 2 - threadEndMm() + (kind == TerminalKind::kScrew ? sleeve_length_mm : 0);
  }
  /// Greatest radius before the bracket (0 where nothing stands out) and behind it.
  double nearRadiusMm() const;
  double tailRadiusMm() const;
};

Terminal terminalOf(const GateSpec& spec);
/// Every "auto" of terminals and brackets as what it comes to.
GateSpec withAutosGiven(GateSpec spec);

/// The nuts' room on the thread, one beyond what they take: less does not hold.
double nutsLengthMm(const Terminal& terminal);

/// Both ropes of a carrying panel, the opening one above: each one's tail passes the other and the
/// other's pulley.
double ropesApartMm(const GateSpec& spec);
double bracketHeightMm(const GateSpec& spec);
/// Rope brackets' inner edges off the carrying rail's face as drawn: what coats them and the
/// flanges of pulleys, which they pass, is in it.
double bracketFaceGapMm(const GateSpec& spec);
/// So far off that face their bores have metal on that side.
double leastStrandOffsetMm(const GateSpec& spec);
/// Strands off the carrying rail's faces: terminals pass the axles' heads
/// and the flanges of the pulleys' cradles.
double strandOffsetMm(const GateSpec& spec);

/// Radius of the groove that a rope lies in.
double pulleyGrooveRadiusMm(const GateSpec& spec);
/// Greatest fleet angle of a groove between flanks so far apart.
double mostFleetDeg(double throat_deg);
/// The throat that takes a fleet angle.
double throatForFleetDeg(double fleet_deg);
/// Outside radius of a pulley of this pitch diameter.
double pulleyRimMm(const GateSpec& spec, double pitch_mm);
double pulleyPitchMm(const GateSpec& spec);
double pulleyInsetMm(const GateSpec& spec);
double bracketClearanceMm(const GateSpec& spec);
/// The least at which bracket and terminals clear a pulley's rim, anywhere in their range.
double leastBracketClearanceMm(const GateSpec& spec);

}  // namespace leafstack
