// The gate as it was built and set: its solids where and as long as they were measured, corrected
// by what an installer may turn, pack and move.
//
// Lengths, heights and places along the track are those of the solids. What cannot be drawn so (a
// bow, a frame out of square, pulleys and brackets beside their places, a track that is no line) is
// what bodies may stand off, either way: Model::off_mm, which every clearance is proved with.
//
// Frame: layout.h's. mm throughout.
#pragma once

#include <array>
#include <vector>

#include "generator/as_built/built/deviations.h"
#include "generator/model/model.h"

namespace leafstack {

/// What may be set of one panel, and what has to be made anew where that does not do.
struct PanelSetting {
  bool is_relaid = false;   ///< its track on shims, as straight as drawn
  double raise_mm = 0;      ///< of the track: over the drawn one where relaid, else over the built
  double along_mm = 0;      ///< by its ropes, panel 1 by where the drive stops
  double stop_mm = 0;       ///< its end stop, along X
  double shorten_mm = 0;    ///< cut off its trailing end
  double rail_down_mm = 0;  ///< guide rail welded lower
};

struct BuiltSettings {
  std::vector<PanelSetting> panels;  ///< panel 1 first
  double guide_up_mm = 0;            ///< shims under what carries the fixed guide
  double pinion_up_mm = 0;           ///< packers under the motor, or its own base
  double pinion_along_mm = 0;        ///< the motor, before its anchors are drilled
  double rack_up_mm = 0;             ///< in its slots
  double catch_mm = 0, catch_up_mm = 0;

  explicit BuiltSettings(int count = 0) : panels(count) {}
  const PanelSetting& panel(int number) const { return panels.at(number - 1); }
};

struct BuiltGate {
  const GateSpec* spec = nullptr;
  const Layout* drawn = nullptr;
  const Deviations* off = nullptr;
  const Model* model = nullptr;  ///< as drawn: parts keep its marks, where there is one
};

/// What a panel stands higher than drawn in the mean, and at most either way from there.
struct PanelRaise {
  double mean_mm = 0, half_mm = 0;
};
PanelRaise raiseOf(const Deviations& off, const BuiltSettings& set, int panel);
/// Of a guide rail, and of the channel that its block is in, over where they are drawn.
double railUpMm(const BuiltGate& gate, const BuiltSettings& set, int guide);
double channelUpMm(const BuiltGate& gate, const BuiltSettings& set, int guide);

/// What a panel may stand off where its solids are, along X, across and in height, either way; 0:
/// the ground.
std::array<double, 3> standsOffMm(const BuiltGate& gate, const BuiltSettings& set, int panel);

Layout builtLayout(const BuiltGate& gate, const BuiltSettings& set);
Model builtModel(const BuiltGate& gate, const BuiltSettings& set, PartStore* store);

}  // namespace leafstack
