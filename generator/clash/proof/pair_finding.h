// What the checks hand to the grouping: pairs of instances with something wrong.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "generator/clash/proof/proof.h"

namespace leafstack {

enum class PairFault { kShort, kTooDeep, kContactLost, kUnresolved };

/// Why a pair was left open where its effort (effort.h) was used up.
inline constexpr std::string_view kUsedUp =
    "the work allowed for one pair was used up before this was settled";

struct PairFinding {
  int a = 0, b = 0;
  PairFault fault{};
  Requirement required;
  std::vector<Stretch> contact;  ///< where they meet
  std::vector<Stretch> below;    ///< where the requirement is not kept
  double ends_within_mm = 0;
  Clearance least;
  Fineness fineness = Fineness::kCoarse;
  bool is_contained = false;
  bool is_coarse = false;  ///< PairVerdict::is_coarse
  std::string doubt;       ///< why it is left open, where it is not the meshes that do
};

}  // namespace leafstack
