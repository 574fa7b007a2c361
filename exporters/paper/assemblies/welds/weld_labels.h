// Welds of the lists as signs on a view: one arrow for each pair of marks, a sign for each row.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "exporters/paper/blocks/view_requests.h"
#include "generator/shop/welds/weld_rows.h"

namespace leafstack {

struct WeldGroup {
  std::string key;  ///< unlike for each arrow
  std::string a, b;
  Vec3 at{};  ///< one of its joints, closed, gate's frame
  std::vector<WeldSign> signs;
  std::vector<std::vector<WeldSeam>> seams = {};  ///< by sign
  std::array<int, 2> instances{};                 ///< of a and b, at that joint
  /// The same by sign: of parts that are joined twice near by, each has its own.
  std::vector<std::array<int, 2>> of_signs = {};
};

/// Groups whose signs and letters of marks are the same, as of pickets of many lengths, under one
/// arrow: "W13 to W71, every 2nd, 30x" names every second row of the list and their joints. A row
/// of marks that is not even is told in as many as it takes.
std::vector<WeldGroup> alikeTogether(const std::vector<WeldGroup>& groups);

/// Those of one panel, or of what does not move (0), in the order of the lists: the rows of one
/// joint under one arrow.
std::vector<WeldGroup> weldGroups(const std::vector<WeldRow>& welds, int panel);

}  // namespace leafstack
