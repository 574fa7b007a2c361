// How long the gate takes: start, cruise, slow-down, and the last stretch at the slow speed.
#pragma once

namespace leafstack {

struct SpeedProfile {
  double travel_mm = 0;           ///< of panel 1, along its track, 0 or more
  double speed_mm_s = 0;          ///< greatest, > 0
  double acceleration_mm_s2 = 0;  ///< starting and slowing down alike, > 0
  double slow_speed_mm_s = 0;     ///< at the end, > 0; no slow-down where not below `speed_mm_s`
  double slow_travel_mm = 0;      ///< gone at the slow speed or less, 0 or more
};

struct TravelTime {
  double total_s = 0;
  double start_s = 0, cruise_s = 0, slowing_s = 0, slow_s = 0;  ///< slow_s includes the stop
  double top_speed_mm_s = 0;  ///< reached; less than asked for on a short travel
};

/// From rest to rest. A travel too short for the whole profile is gone at lower speeds, and one no
/// longer than the slow stretch never exceeds the slow speed.
TravelTime travelTime(const SpeedProfile& profile);

}  // namespace leafstack
