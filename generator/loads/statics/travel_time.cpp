#include "generator/loads/statics/travel_time.h"

#include <algorithm>
#include <cmath>

namespace leafstack {
namespace {

/// Start from rest over `travel`, up to `top`, then down to `end_speed` (<= top).
TravelTime mainStretch(double travel, double top, double end_speed, double acceleration) {
  TravelTime time;
  const auto ramps = [&](double speed) {
    return (2 * speed * speed - end_speed * end_speed) / (2 * acceleration);
  };
  double speed = top;
  if (ramps(top) > travel) {
    speed = std::sqrt((2 * acceleration * travel + end_speed * end_speed) / 2);
  }
  time.top_speed_mm_s = speed;
  time.start_s = speed / acceleration;
  time.slowing_s = (speed - end_speed) / acceleration;
  time.cruise_s = std::max(travel - ramps(speed), 0.0) / speed;
  return time;
}

}  // namespace

TravelTime travelTime(const SpeedProfile& profile) {
  const double a = profile.acceleration_mm_s2;
  const double slow = std::min(profile.slow_speed_mm_s, profile.speed_mm_s);
  // The slow stretch ends in the stop from the slow speed, and is at least as long as that takes.
  const double stop = slow * slow / (2 * a);
  const double slow_travel = std::max(profile.slow_travel_mm, stop);
  const double main_travel = profile.travel_mm - slow_travel;
  TravelTime time;
  // Up to the slow speed takes as long as stopping from it.
  if (slow < profile.speed_mm_s && main_travel > stop) {
    time = mainStretch(main_travel, profile.speed_mm_s, slow, a);
    time.slow_s = (slow_travel - stop) / slow + slow / a;
  } else if (profile.travel_mm > 0) {
    time = mainStretch(profile.travel_mm, slow, 0, a);
  }
  time.total_s = time.start_s + time.cruise_s + time.slowing_s + time.slow_s;
  return time;
}

}  // namespace leafstack
