// How far bodies may stand to each other from where they are drawn, because ropes of fixed length
// leave panels some play on uneven ground (GroundLayout::rope_play_mm).
//
// Frame: the gate's. A panel that stands off its place along X stands where it would be a little
// earlier or later in the travel: what that raises and turns it by follows from its rates.
#pragma once

#include <vector>

#include "generator/geometry/vec.h"
#include "generator/model/model.h"

namespace leafstack {

class RopePlay {
 public:
  /// `model` must outlive it.
  explicit RopePlay(const Model& model);

  /// No point of `b` is further along any axis, either way, from where it is drawn as seen from
  /// `a`; both are instances. 0 where nothing is surveyed, and of one body but for ropes; of a gate
  /// as built with what its bodies stand off (Model::off_mm).
  Vec3 between(int a, int b) const;

 private:
  Vec3 offBetween(int a, int b) const;

  const Model& model_;
  std::vector<std::vector<int>> panels_of_;  ///< by instance: whose play is its own; 0: the ground
  /// By panel, 0 the ground: what its play moves any of its points up or down, and more along X.
  std::vector<double> up_mm_;
};

}  // namespace leafstack
