#include "generator/geometry/pose.h"

namespace leafstack {

Pose combined(const Pose& second, const Pose& first) {
  return {second.cos * first.x_mm - second.sin * first.z_mm + second.x_mm,
          second.sin * first.x_mm + second.cos * first.z_mm + second.z_mm,
          second.cos * first.cos - second.sin * first.sin,
          second.sin * first.cos + second.cos * first.sin};
}

Pose inverse(const Pose& pose) {
  return {-pose.cos * pose.x_mm - pose.sin * pose.z_mm, pose.sin * pose.x_mm - pose.cos * pose.z_mm,
          pose.cos, -pose.sin};
}

std::array<double, 3> carried(const Pose& pose, const std::array<double, 3>& point) {
  return {pose.cos * point[0] - pose.sin * point[2] + pose.x_mm, point[1],
          pose.sin * point[0] + pose.cos * point[2] + pose.z_mm};
}

Pose mirrored(const Pose& pose) {
  return {-pose.x_mm, pose.z_mm, pose.cos, -pose.sin};
}

}  // namespace leafstack
