// A size of the shelf where it can be measured on solids.
#pragma once

#include <array>

#include "generator/geometry/bounds.h"
#include "generator/geometry/vec.h"
#include "params/table/parameter.h"

namespace leafstack {

/// One row where it can be measured. Frame: the model's, at the figure's position.
struct DrawnSize {
  /// A slanting edge and a range stand in words at what they are of.
  enum class Kind { kDistance, kDiameter, kAngle, kEdge, kRange };
  const Parameter* row = nullptr;
  Kind kind{};
  double value = 0;  ///< the row's, without its sign
  bool is_negative = false;
  double share = 1;    ///< of the value that is drawn: 1; 0.5 for a diameter's half; 2 ...
  int axis = kAlongX;  ///< kDistance: measured along it
  /// kDistance; kAngle, kEdge, kRange: twice where it is; kDiameter: centre and axis
  Vec3 from{}, to{};
  std::array<Bounds, 2> where{};  ///< kDistance: all that `from` and `to` stand for
  std::array<int, 2> parts{};     ///< instances that it is measured on
  bool is_plain = true;           ///< a share of 1, on the item itself
};

}  // namespace leafstack
