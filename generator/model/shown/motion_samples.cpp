#include "generator/model/shown/motion_samples.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

/// No point of what the body carries is further from its pivot, in the XZ plane.
double reachMm(const Model& model, int body, const std::array<double, 2>& pivot) {
  double reach = 0;
  for (const Instance& instance : model.instances) {
    if (instance.body != body) {
      continue;
    }
    const Bounds& box = instance.bounds;
    for (const double x : {box.low[0], box.high[0]}) {
      for (const double z : {box.low[2], box.high[2]}) {
        reach = std::max(reach, std::hypot(x - pivot[0], z - pivot[1]));
      }
    }
  }
  return reach;
}

double width(const Range& range) {
  return range.high - range.low;
}

PoseRow rowAt(const Model& model, int body, const std::array<double, 2>& pivot, double drive_mm) {
  const Pose pose = model.poseAt(body, drive_mm);
  const auto moved = carried(pose, {pivot[0], 0, pivot[1]});
  return {drive_mm, moved[0] - pivot[0], moved[2] - pivot[1], std::atan2(pose.sin, pose.cos)};
}

/// How far straight lines over so many equal parts of the travel may deviate. A function whose
/// derivative keeps within a range of width w keeps within a quarter of part x w of its chord
/// (body_motions.h).
double deviationMm(const BodyTravel& travel, double reach_mm, double travel_mm, int parts) {
  double most = 0;
  const double part = travel_mm / parts;
  for (int i = 0; i < parts; ++i) {
    const TravelRates rates = travel.rates(part * i, part * (i + 1));
    const double shift = std::hypot(width(rates.x), width(rates.z));
    most = std::max(most, part / 4 * (shift + reach_mm * width(rates.turn)));
  }
  return most;
}

}  // namespace

SampledMotion sampleMotion(const Model& model) {
  SampledMotion motion;
  const double travel_mm = model.layout.drive_travel_mm;
  for (int body = 0; body < static_cast<int>(model.travels.size()); ++body) {
    const BodyTravel& travel = *model.travels[body];
    SampledBody sampled;
    const auto [x, z] = travel.pivot_mm();
    sampled.pivot_mm = {model.opening_sign * x, z};
    int parts = 1;
    if (!travel.velocity()) {
      const double reach = reachMm(model, body, sampled.pivot_mm);
      while (deviationMm(travel, reach, travel_mm, parts) > kSamplesWithinMm &&
             parts < kMostSampleRows - 1) {
        parts *= 2;
      }
      motion.within_mm = std::max(motion.within_mm, deviationMm(travel, reach, travel_mm, parts));
    }
    for (int i = 0; i <= parts; ++i) {
      sampled.rows.push_back(rowAt(model, body, sampled.pivot_mm, travel_mm * i / parts));
    }
    motion.bodies.push_back(std::move(sampled));
  }
  return motion;
}

}  // namespace leafstack
