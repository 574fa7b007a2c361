// One thing to point out about a gate, whichever figures it was found in.
#pragma once

#include <string>

namespace leafstack {

/// What of the verdict a warning tells against.
enum class Against { kNothing, kStrength, kTrack, kDrive, kMaking };

struct Warning {
  std::string id;          ///< "rope-weak": fixed, for programs
  std::string text;        ///< what is wrong and what cures it, in words
  std::string where = {};  ///< pointer of the input to change; "" where it is no single one
  bool is_hazard = false;  ///< somebody may get hurt by the finished gate: told before the others
  Against against = Against::kNothing;  ///< more than nothing: the gate is not ready
  std::string in_short = {};            ///< "panel 1's stile overloaded", where it tells against
};

}  // namespace leafstack
