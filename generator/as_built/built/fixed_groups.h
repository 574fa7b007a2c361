// What of a gate's fixed parts is moved as one: a post with all that is on it, a stop, the motor.
#pragma once

#include <vector>

#include "generator/model/model.h"

namespace leafstack {

enum class FixedKind { kOther, kCatch, kStop, kMotor, kTrack, kGuide, kGroundBracket };

struct FixedGroup {
  FixedKind kind = FixedKind::kOther;
  int panel = 0;  ///< of a stop or a track: whose it is
};

/// By instance; what moves, footing, fence and obstacles are kOther. A group is what declared
/// contacts join, the footing and the fence left out.
std::vector<FixedGroup> fixedGroups(const Model& model);

/// Of one body only the drawing judges: what stands on the footing is packed and fixed to it as
/// it is set, and brackets of a panel are where it has them, though the model has them by their
/// ropes. But what stands apart on the footing was built apart.
bool isForTheDrawing(const Model& model, const std::vector<FixedGroup>& groups, int a, int b);

}  // namespace leafstack
