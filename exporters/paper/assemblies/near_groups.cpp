#include "exporters/paper/assemblies/near_groups.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "generator/geometry/numbers.h"

namespace leafstack {
namespace {

constexpr double kNearMm = 70;  // between neighbours of a group, at most

bool areNear(const FrameBounds& a, const FrameBounds& b) {
  for (int axis = 0; axis < 3; ++axis) {
    if (a.low[axis] > b.high[axis] + kNearMm || b.low[axis] > a.high[axis] + kNearMm) {
      return false;
    }
  }
  return true;
}

/// On a panel what stands before the frame is seen from the road alone, what stands behind it from
/// the property side: apart, but where one part goes through.
bool areApart(const FrameBounds& a, const FrameBounds& b, double depth_mm) {
  return depth_mm > 0 && ((a.high[1] <= kLengthEqualMm && b.low[1] >= depth_mm / 2) ||
                          (b.high[1] <= kLengthEqualMm && a.low[1] >= depth_mm / 2));
}

bool isLong(const FrameBounds& box) {
  for (int axis = 0; axis < 3; ++axis) {
    if (box.high[axis] - box.low[axis] > kLongPartMm) {
      return true;
    }
  }
  return false;
}

/// Marks and their places from the group's corner: equal for groups that look alike.
std::string looksOf(const NearGroup& group, const Model& model,
                    const std::map<int, FrameBounds>& bounds) {
  std::vector<std::string> all;
  for (const int i : group.instances) {
    std::string one = model.parts[model.instances[i].part].mark;
    for (int axis = 0; axis < 3; ++axis) {
      one += ' ' + shown(bounds.at(i).low[axis] - group.low[axis], 1);
    }
    all.push_back(std::move(one));
  }
  std::sort(all.begin(), all.end());
  return std::accumulate(all.begin(), all.end(), std::string(),
                         [](std::string sum, const std::string& one) { return sum + one + ';'; });
}

}  // namespace

std::map<int, FrameBounds> boundsOf(const Model& model, const Assembly& assembly) {
  std::map<int, FrameBounds> bounds;
  for (const int i : assembly.instances) {
    bounds[i] = boundsIn(assembly.frame, model, i);
  }
  return bounds;
}

std::vector<NearGroup> nearGroups(const Model& model, const Assembly& assembly) {
  const std::map<int, FrameBounds> bounds = boundsOf(model, assembly);
  std::vector<int> small;
  for (const auto& [i, box] : bounds) {
    if (!isLong(box)) {
      small.push_back(i);
    }
  }
  const bool is_in_rail = assembly.name.rfind("running-gear", 0) == 0;
  const double depth = assembly.panel > 0 && !is_in_rail ? model.layout.stack.frame_depth_mm : 0;
  std::vector<NearGroup> all;
  std::vector<bool> is_taken(small.size(), false);
  for (std::size_t first = 0; first < small.size(); ++first) {
    if (is_taken[first]) {
      continue;
    }
    NearGroup group;
    std::vector<std::size_t> open = {first};
    is_taken[first] = true;
    while (!open.empty()) {
      const int here = small[open.back()];
      open.pop_back();
      group.instances.push_back(here);
      for (std::size_t k = 0; k < small.size(); ++k) {
        const FrameBounds& other = bounds.at(small[k]);
        if (!is_taken[k] && areNear(bounds.at(here), other) &&
            !areApart(bounds.at(here), other, depth)) {
          is_taken[k] = true;
          open.push_back(k);
        }
      }
    }
    std::sort(group.instances.begin(), group.instances.end());
    group.low = bounds.at(group.instances.front()).low;
    group.high = bounds.at(group.instances.front()).high;
    for (const int i : group.instances) {
      for (int axis = 0; axis < 3; ++axis) {
        group.low[axis] = std::min(group.low[axis], bounds.at(i).low[axis]);
        group.high[axis] = std::max(group.high[axis], bounds.at(i).high[axis]);
      }
    }
    all.push_back(std::move(group));
  }
  std::stable_sort(all.begin(), all.end(), [](const NearGroup& a, const NearGroup& b) {
    return a.low[0] < b.low[0] - kLengthEqualMm;
  });
  std::vector<NearGroup> unlike;
  std::map<std::string, std::size_t> known;
  for (NearGroup& group : all) {
    const auto [found, is_new] = known.emplace(looksOf(group, model, bounds), unlike.size());
    if (!is_new) {
      unlike[found->second].others.push_back(group.low);
      continue;
    }
    const std::size_t number = unlike.size();
    group.letter = std::string(1, static_cast<char>('A' + number % 26));
    if (number >= 26) {
      group.letter += std::to_string(number / 26);
    }
    unlike.push_back(std::move(group));
  }
  return unlike;
}

}  // namespace leafstack
