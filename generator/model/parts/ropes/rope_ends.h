// What holds the ropes' ends: brackets, and terminals that can be tensioned.
#pragma once

#include "generator/model/builder.h"

namespace leafstack {

/// Instances.
struct RopeBrackets {
  int front = 0, rear = 0;
};

/// Of both ropes of one carrying panel: on the panel in front, and on the panel behind or the
/// footing.
RopeBrackets addBrackets(ModelBuilder& builder, const RopeLayout& rope);

/// How the rear bracket leans: with its panel, or as panel 1's rope where it stands on the footing.
Slope rearBracketSlope(const ModelBuilder& builder, const RopeLayout& rope);

/// Both terminals of `run`, with their nuts.
void addTerminals(ModelBuilder& builder, const RopeRun& run, const RopeLayout& rope,
                  const RopeBrackets& brackets);

}  // namespace leafstack
