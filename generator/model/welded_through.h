// Which parts are welded all along rather than in pieces.
#pragma once

#include "generator/model/model.h"

namespace leafstack {

/// Beside a piece of weld the softened leg of an aluminium guide rail would not hold the block.
inline bool isWeldedThrough(const Part& part) {
  return part.kind == PartKind::kGuideRail && part.material == "aluminium";
}

}  // namespace leafstack
