#include "generator/model/tube_frame.h"

#include <cmath>
#include <numbers>

namespace leafstack {
namespace {

double sideOf(const Bounds& box, int axis) {
  return box.high[axis] - box.low[axis];
}

}  // namespace

std::optional<TubeFrame> frameOf(const Part& part) {
  constexpr double kSameMm = 0.01;
  constexpr std::array<std::array<int, 3>, 3> kLies = {{{0, 2, 1}, {2, 0, 1}, {1, 2, 0}}};
  std::optional<TubeFrame> found;
  for (const auto& [along, height, depth] : kLies) {
    const bool fits = std::abs(sideOf(part.bounds, height) - part.tube->height_mm) < kSameMm &&
                      std::abs(sideOf(part.bounds, depth) - part.tube->depth_mm) < kSameMm;
    if (fits && (!found || sideOf(part.bounds, along) > sideOf(part.bounds, found->along))) {
      found = {along, height, depth, *part.tube, part.bounds, {}};
    }
  }
  for (int end = 0; found && end < 2; ++end) {
    found->slope[end] = std::tan(part.ends[end].angle_deg * std::numbers::pi / 180);
  }
  return found;
}

}  // namespace leafstack
