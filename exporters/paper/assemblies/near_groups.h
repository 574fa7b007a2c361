// Small parts that stand close together, so that they can be shown larger by themselves.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "exporters/paper/assemblies/assemblies.h"

namespace leafstack {

inline constexpr double kLongPartMm = 350;  ///< longer parts are in no group

struct NearGroup {
  std::string letter;  ///< "A"
  std::vector<int> instances;
  Vec3 low{}, high{};        ///< around them, in the assembly's frame
  std::vector<Vec3> others;  ///< low corners of groups that are the same, further along
};

/// Bounds of an assembly's instances in its frame.
std::map<int, FrameBounds> boundsOf(const Model& model, const Assembly& assembly);

/// Groups of an assembly's small parts, along it; what is long in any direction is in none. Groups
/// of the same marks at the same places to each other are told once.
std::vector<NearGroup> nearGroups(const Model& model, const Assembly& assembly);

}  // namespace leafstack
