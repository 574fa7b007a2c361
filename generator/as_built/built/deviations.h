// What was measured, as how far it is off the drawing; and what of it cannot be so.
//
// Frame: layout.h's. mm throughout; positive is longer, higher, further along X.
#pragma once

#include <array>
#include <string>
#include <utility>
#include <vector>

#include "generator/layout/layout.h"
#include "params/spec/gate_spec.h"

namespace leafstack {

struct PanelDeviation {
  double longer_mm = 0;        ///< bottom rail, at its trailing end
  double frame_longer_mm = 0;  ///< frame, the same; panel 1's ends before its rail
  double higher_leading_mm = 0, higher_trailing_mm = 0;
  double lean_mm = 0;  ///< out of square: top towards the trailing end, over its height
  double bow_mm = 0;   ///< across the track
  /// Further from the leading end than the drawing has them on a panel of that length.
  double leading_pulley_mm = 0, trailing_pulley_mm = 0, front_bracket_mm = 0;
  double stop_mm = 0;  ///< of the end stop on its track
  /// Its track off the drawn one: {X, height}; empty where it was not measured.
  std::vector<std::array<double, 2>> track;
  double track_mm = 0;                ///< what that raises the panel by in the mean,
  double track_half_mm = 0;           ///< and at most either way from there, anywhere in the travel
  double tilt = 0;                    ///< most that it tips it, rise per mm
  std::array<double, 3> unsure_mm{};  ///< along X, across, in height

  double higherMm() const { return (higher_leading_mm + higher_trailing_mm) / 2; }
};

struct Deviations {
  std::vector<PanelDeviation> panels;  ///< panel 1 first
  double opening_mm = 0, guide_mm = 0, guide_up_mm = 0, pinion_mm = 0, pinion_up_mm = 0;
  double ground_bracket_mm = 0, catch_mm = 0, receiver_up_mm = 0;
  double site_unsure_mm = 0;  ///< of what does not move; 0 where none of it was measured
  bool motor_is_measured = false;

  const PanelDeviation& panel(int number) const { return panels.at(number - 1); }
};

/// What of the measurements contradicts itself or cannot be meant is asked about, all of it, by
/// its place in the gate file; nothing is guessed. Deviations are of use only without questions.
struct DeviationsRead {
  Deviations off;
  std::vector<LayoutProblem> questions;
};
DeviationsRead deviationsOf(const GateSpec& spec, const Layout& drawn);

/// Places of the drawing that measurements are held against; X or height.
double drawnChannelTopMm(const Layout& drawn);
double drawnStopMm(const GateSpec& spec, const Layout& drawn, int panel);
double drawnCatchMm(const GateSpec& spec, const Layout& drawn);

}  // namespace leafstack
