// What is left of a hollow section where its walls have holes: area, section moduli, and the width
// that carries shear in each wall. mm throughout.
#pragma once

#include <span>
#include <string>

#include "generator/layout/figures/sections.h"

namespace leafstack {

enum class TubeWall { kFront, kRear, kBottom, kTop };

/// One hole, along the tube and across its wall; across: from the underside in front and rear, from
/// the front face in bottom and top.
struct WallGap {
  TubeWall wall{};
  double from_mm = 0, to_mm = 0;  ///< along, from the leading end
  double low_mm = 0, high_mm = 0;
  std::string purpose;  ///< "wheel pocket"
};

/// Where holes are, the section without them.
struct NetSection {
  double area_mm2 = 0;
  double across_mm3 = 0, upright_mm3 = 0;  ///< moduli, bending out of the gate's plane and in it
  /// Share of a wall's width that is left, in the weaker of front and rear, and of bottom and top:
  /// 1 without holes, 0 where nothing is.
  double sides_left = 1, flanges_left = 1;
};

/// `gaps` are all those at one place along the tube. Each takes a strip of the wall's thickness;
/// the neutral axes move to the centroid of what is left. The wall's own bending over a gap is left
/// out, and so is that the gap ends.
NetSection netSection(const HollowSection& tube, std::span<const WallGap> gaps);

}  // namespace leafstack
