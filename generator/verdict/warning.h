// One thing to point out about a gate, whichever figures it was found in.
#pragma once

#include <string>
#include <vector>

namespace leafstack {

/// What of the verdict a warning tells against.
enum class Against { kNothing, kStrength, kTrack, kDrive, kMaking };

/// A change that was tried on the gate as it is: read, laid out, built and loaded.
struct Cure {
  std::vector<std::string> sets;    ///< "/gate/stile=SHS 60x60x3", as after --set; none: not cured
  std::vector<std::string> leaves;  ///< ids of what then still tells against the gate, "clash" too
  int tried = 0;                    ///< changes that were tried until then; 0: nobody looked
  bool is_brief = false;            ///< more could have been tried
  bool is_proved = false;           ///< clashes were checked anew, and are no worse
  bool is_tight = false;            ///< of all together: clearances are short with it
};

struct Warning {
  std::string id;          ///< "rope-weak": fixed, for programs
  std::string text;        ///< what is wrong and what cures it, in words
  std::string where = {};  ///< pointer of the input to change; "" where it is no single one
  bool is_hazard = false;  ///< somebody may get hurt by the finished gate: told before the others
  Against against = Against::kNothing;  ///< more than nothing: the gate is not ready
  std::string in_short = {};            ///< "panel 1's stile overloaded", where it tells against
  /// What a gate that is ready otherwise is ready on condition of: "the drive holds 214 N when
  /// off".
  std::string proviso = {};
  /// How many times what is allowed the worst is, where it tells against, and how far all that are
  /// beyond it are together: the sum of their times less 1. 0: no figure says.
  double times_allowed = 0, excess = 0;
  Cure cure = {};  ///< where it tells against, and cures were looked for (generator/cures)
};

/// All that is pointed out about a gate.
struct Advice {
  std::vector<Warning> warnings;
  Cure together = {};  ///< what brings a gate that is not ready nearest to it; see generator/cures
};

}  // namespace leafstack
